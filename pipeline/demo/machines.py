"""Makers and their machines, all invented.

In:  nothing.
Out: rows of ``makers.csv`` and ``machines.csv``.
"""

from __future__ import annotations

from demo.rows import Machine, Maker
from demo.text_table import read_rows

MAKERS = read_rows(
    Maker,
    """
    maker     | name      | website
    brumvald  | Brumvald  | https://brumvald.example/
    drovanne  | Drovanne  | https://drovanne.example/
    eddermoor | Eddermoor | https://eddermoor.example/
    haskeby   | Haskeby   |
    jorvane   | Jorvane   | https://jorvane.example/
    oskrel    | Oskrel    | https://oskrel.example/
    pellivant | Pellivant | https://pellivant.example/
    quarndel  | Quarndel  |
    skelmora  | Skelmora  | https://skelmora.example/
    taldure   | Taldure   | https://taldure.example/
    ubresk    | Ubresk    | https://ubresk.example/
    """,
)

MACHINES = read_rows(
    Machine,
    """
    machine        | maker     | name           | kind     | head             | mop
    hofta-310      | brumvald  | Hofta 310      | canister | suction head     |
    hofta-520      | brumvald  | Hofta 520      | canister | two heads        |
    lanke-7        | brumvald  | Lanke 7        | stick    | bristle roller   |
    gradda-2       | brumvald  | Gradda 2       | upright  | beater bar       |
    torvek-60      | drovanne  | Torvek 60      | upright  | beater bar       |
    torvek-80      | drovanne  | Torvek 80      | upright  | beater bar       |
    kelbrin-14     | drovanne  | Kelbrin 14     | canister | air turbine      |
    kelbrin-3      | drovanne  | Kelbrin 3      | stick    | bristle roller   |
    fenlow-6       | eddermoor | Fenlow 6       | canister | suction head     |
    fenlow-9       | eddermoor | Fenlow 9       | canister | air turbine      |
    braddle-4      | eddermoor | Braddle 4      | upright  | beater bar       |
    hessop-2       | eddermoor | Hessop 2       | stick    | bristle roller   |
    nibb-100       | haskeby   | Nibb 100       | robot    | bristle roller   |
    nibb-200       | haskeby   | Nibb 200       | robot    | bristle roller   |
    frasa-12       | haskeby   | Frasa 12       | stick    | bristle roller   |
    kubba-8        | haskeby   | Kubba 8        | canister | suction head     |
    snutt          | haskeby   | Snutt          | handheld | open nozzle      |
    kubrit-21      | jorvane   | Kubrit 21      | robot    | rubber roller    |
    kubrit-31      | jorvane   | Kubrit 31      | robot    | rubber roller    |
    kubrit-31-wash | jorvane   | Kubrit 31 Wash | robot    | rubber roller    | lifting pads
    sondri-8       | jorvane   | Sondri 8       | stick    | rubber roller    |
    immel-1        | oskrel    | Immel 1        | robot    | soft roller      |
    immel-2        | oskrel    | Immel 2        | robot    | soft roller      |
    immel-2-dok    | oskrel    | Immel 2 Dok    | robot    | soft roller      | flat pad
    vasp-30        | oskrel    | Vasp 30        | stick    | soft roller      |
    vasp-50        | oskrel    | Vasp 50        | stick    | soft roller      |
    pikk           | oskrel    | Pikk           | handheld | open nozzle      |
    mosqua-1       | pellivant | Mosqua 1       | wet-dry  | wet roller       | roller
    mosqua-2       | pellivant | Mosqua 2       | wet-dry  | wet roller       | roller
    mosqua-3       | pellivant | Mosqua 3       | wet-dry  | wet roller       | roller
    tremmo-4       | pellivant | Tremmo 4       | robot    | rubber roller    | turning pads
    ilvane-1       | quarndel  | Ilvane 1       | stick    | twin roller      |
    ilvane-r       | quarndel  | Ilvane R       | robot    | twin roller      |
    undrey-1       | skelmora  | Undrey 1       | robot    | twin roller      | roller
    aluen-2        | taldure   | Aluen 2        | handheld | bristle roller   |
    aluen-5        | taldure   | Aluen 5        | stick    | bristle roller   |
    aluen-6        | taldure   | Aluen 6        | stick    | two brushes      |
    oriq-3         | taldure   | Oriq 3         | robot    | rubber roller    | flat pad
    velloq-700     | ubresk    | Velloq 700     | wet-dry  | wet roller       | roller
    velloq-900     | ubresk    | Velloq 900     | stick    | soft roller      |
    velloq-1100    | ubresk    | Velloq 1100    | canister | powered roller   |
    velloq-1200    | ubresk    | Velloq 1200    | robot    | powered roller   |
    """,
    """
    machine        | released   | price   | currency | priced_on  | acquired
    hofta-310      | 2019-03-01 | 129.00  | EUR      | 2022-05-14 | bought
    hofta-520      | 2023-09-01 | 289.00  | EUR      | 2024-08-30 | bought
    lanke-7        | 2023-04-01 | 229.00  | EUR      | 2024-10-26 | bought
    gradda-2       | 2024-02-01 | 319.00  | EUR      | 2025-01-11 | bought
    torvek-60      | 2022-10-01 | 259.00  | EUR      | 2024-08-30 | bought
    torvek-80      | 2024-11-01 | 399.00  | EUR      | 2025-03-08 | bought
    kelbrin-14     | 2024-03-01 | 349.00  | EUR      | 2025-01-11 | bought
    kelbrin-3      | 2025-09-01 | 279.00  | EUR      | 2026-01-31 | loaned
    fenlow-6       | 2021-06-01 | 99.00   | EUR      | 2024-08-30 | bought
    fenlow-9       | 2025-02-01 | 169.00  | EUR      | 2025-05-31 | bought
    braddle-4      | 2025-05-01 | 219.00  | EUR      | 2025-10-25 | bought
    hessop-2       | 2025-08-01 | 139.00  | EUR      | 2026-01-31 | bought
    nibb-100       | 2022-01-01 | 149.00  | EUR      | 2024-08-30 | gifted
    nibb-200       | 2024-06-01 | 199.00  | EUR      | 2025-03-08 | bought
    frasa-12       | 2025-01-01 | 79.00   | EUR      | 2025-10-25 | bought
    kubba-8        |            |         |          |            | gifted
    snutt          | 2024-01-01 | 34.50   | EUR      | 2025-03-08 | bought
    kubrit-21      | 2023-05-01 | 379.00  | EUR      | 2024-10-26 | bought
    kubrit-31      | 2025-04-01 | 549.00  | EUR      | 2025-10-25 | bought
    kubrit-31-wash | 2025-10-01 | 749.00  | EUR      | 2026-01-31 | loaned
    sondri-8       | 2024-05-01 | 249.00  | EUR      | 2025-03-08 | bought
    immel-1        | 2022-09-01 | 299.00  | EUR      | 2024-10-26 | bought
    immel-2        | 2024-04-01 | 494.00  | EUR      | 2025-01-11 | bought
    immel-2-dok    | 2025-06-01 | 799.00  | EUR      | 2026-01-31 | sponsored
    vasp-30        | 2022-03-01 | 189.00  | EUR      | 2024-08-30 | bought
    vasp-50        | 2024-09-01 | 329.00  | GBP      | 2025-03-01 | bought
    pikk           | 2023-02-01 | 59.00   | EUR      | 2024-10-26 | bought
    mosqua-1       | 2023-08-01 | 269.00  | EUR      | 2025-01-11 | bought
    mosqua-2       | 2025-01-01 | 389.00  | EUR      | 2025-05-31 | bought
    mosqua-3       | 2026-02-01 | 459.00  | EUR      | 2026-04-25 | loaned
    tremmo-4       | 2025-11-01 | 629.00  | EUR      | 2026-04-25 | bought
    ilvane-1       | 2026-06-01 | 319.00  | EUR      | 2026-08-22 | bought
    ilvane-r       |            |         |          |            | loaned
    undrey-1       | 2026-11-01 |         |          |            | loaned
    aluen-2        | 2025-07-01 | 89.00   | EUR      | 2026-01-31 | bought
    aluen-5        | 2023-11-01 | 299.00  | EUR      | 2025-01-11 | bought
    aluen-6        | 2025-03-01 | 419.00  | EUR      | 2025-05-31 | bought
    oriq-3         | 2024-10-01 | 459.00  | EUR      | 2025-05-31 | bought
    velloq-700     | 2025-12-01 | 649.00  | EUR      | 2026-04-25 | bought
    velloq-900     | 2025-03-01 | 849.00  | EUR      | 2025-10-25 | bought
    velloq-1100    | 2024-01-01 | 1249.00 | EUR      | 2024-10-26 | bought
    velloq-1200    | 2025-02-01 | 1399.00 | EUR      | 2025-10-25 | bought
    """,
    """
    machine     | note
    hofta-310   | The reference machine. Bought for a household in 2022, on the bench since 2024.
    kubba-8     | Handed over by a neighbour without box or receipt.
    vasp-50     | Bought abroad; the price is in the currency of the receipt.
    immel-2-dok | The maker paid the hall and saw no result before it was out.
    ilvane-r    | Lent for three afternoons, time for one run of each kind.
    """,
)
