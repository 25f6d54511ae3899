"""What stands in the hall: floors, soils and instruments, all invented.

In:  nothing.
Out: rows of ``floors.csv``, ``soils.csv`` and ``instruments.csv``.
"""

from __future__ import annotations

from dataclasses import replace

from demo.rows import Floor, Instrument, Soil
from demo.text_table import read_rows

_FLOORS = read_rows(
    Floor,
    """
    floor         | name                      | covering | pile_mm | laid_on    | lifted_on
    rug-heather   | Heather rug               | rug      | 17      | 2024-08-24 | 2025-09-21
    rug-moss      | Moss rug                  | rug      | 18      | 2025-09-27 |
    carpet-slate  | Slate loop carpet         | carpet   | 4       | 2024-08-24 |
    mat-ribbed    | Ribbed door mat           | mat      | 6       | 2024-08-24 |
    boards-gapped | Boards with eleven gaps   | hard     |         | 2024-08-24 |
    tiles-matt    | Matt tiles, sealed joints | hard     |         | 2024-08-24 |
    """,
    """
    floor         | called
    rug-heather   | earlier thick rug; deep pile; shag
    rug-moss      | thick rug; deep pile; shag; high pile
    carpet-slate  | thin carpet; short pile; loop; office carpet
    mat-ribbed    | door mat; entrance mat
    boards-gapped | floorboards with gaps; parquet; wood floor; old boards
    tiles-matt    | smooth tiles; kitchen floor; hard floor; linoleum
    """,
    """
    floor         | note
    rug-heather   | Lifted after thirteen months: the pile lay flat along the middle lane.
    rug-moss      | Same pile yarn from another roll. Not comparable with the rug before it.
    boards-gapped | Eleven gaps 2.6 mm wide and 7 mm deep, milled across the lane.
    tiles-matt    | Washed and dried overnight before a day with stains.
    """,
)

FLOORS = tuple(replace(row, called=row.called.replace("; ", "|")) for row in _FLOORS)

SOILS = read_rows(
    Soil,
    """
    soil        | name                   | material
    rug-dust    | Rug dust               | milled feldspar with a tenth of quartz flour
    house-dust  | House dust             | potato starch and sieved loam, three to one
    gap-grit    | Gap grit               | crushed basalt
    cereal      | Cereal crumbs          | oat flakes and puffed rice, crushed, one to one
    hair-bundle | Hair                   | horsehair, washed, cut to 16 cm
    beet-film   | Beet film              | beetroot juice thickened with maize starch, dried on
    """,
    """
    soil        | grade                    | hazard
    rug-dust    | passes a 0.16 mm sieve   | respirable crystalline silica: see the data sheet
    house-dust  | passes a 0.25 mm sieve   | fine dust
    gap-grit    | between 0.3 and 0.8 mm   | some respirable crystalline silica
    cereal      | between 2 and 5 mm       |
    hair-bundle | single strands           |
    beet-film   | 1.5 g a patch when wet   |
    """,
)

INSTRUMENTS = read_rows(
    Instrument,
    """
    instrument   | quantity          | unit  | resolution | calibrated_on | calibration_u
    balance-grey | mass              | g     | 0.1        |               |
    balance-oak  | mass              | g     | 0.01       | 2024-12-12    | 0.00004
    dose-scale   | mass              | g     | 0.01       | 2024-08-19    | 0.0001
    level-meter  | sound-level       | dB(A) | 0.1        | 2024-08-19    | 0.004
    hall-clock   | time              | min   | 0.1        | 2024-08-19    | 0.0002
    hygrometer   | temperature       | °C    | 0.1        |               |
    """,
)
