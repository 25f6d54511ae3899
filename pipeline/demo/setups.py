"""The set-ups: each machine as it was configured for its runs.

In:  nothing.
Out: rows of ``setups.csv``.
"""

from __future__ import annotations

from demo.rows import Setup
from demo.text_table import read_rows

SETUPS = read_rows(
    Setup,
    """
    setup                | machine        | label          | brushes            | mode
    hofta-310-reference  | hofta-310      | reference      | head with strips   | dial at 3 of 4
    hofta-520-floor      | hofta-520      | floor head     | head with strips   | highest
    hofta-520-turbo      | hofta-520      | turbo head     | air-driven roller  | highest
    lanke-7-stock        | lanke-7        | as unboxed     | bristle roller     | high
    gradda-2-stock       | gradda-2       | as unboxed     | beater bar         | carpet
    torvek-60-stock      | torvek-60      | as unboxed     | beater bar         | carpet
    torvek-80-stock      | torvek-80      | as unboxed     | beater bar         | carpet
    kelbrin-14-stock     | kelbrin-14     | as unboxed     | air-driven roller  | highest
    kelbrin-3-stock      | kelbrin-3      | as unboxed     | bristle roller     | high
    fenlow-6-stock       | fenlow-6       | as unboxed     | head with strips   |
    fenlow-9-stock       | fenlow-9       | as unboxed     | air-driven roller  |
    braddle-4-stock      | braddle-4      | as unboxed     | beater bar         |
    hessop-2-stock       | hessop-2       | as unboxed     | bristle roller     | high
    nibb-100-stock       | nibb-100       | as unboxed     | bristle roller     | the only one
    nibb-200-stock       | nibb-200       | as unboxed     | bristle roller     | high
    frasa-12-stock       | frasa-12       | as unboxed     | bristle roller     | high
    kubba-8-stock        | kubba-8        | as received    | head with strips   |
    snutt-stock          | snutt          | as unboxed     | none               | the only one
    kubrit-21-stock      | kubrit-21      | as unboxed     | rubber roller      | high
    kubrit-31-stock      | kubrit-31      | as unboxed     | rubber roller      | high
    kubrit-31-wash-dry   | kubrit-31-wash | pads lifted    | rubber roller      | high
    kubrit-31-wash-mop   | kubrit-31-wash | pads down      | rubber roller      | vacuum and mop
    sondri-8-stock       | sondri-8       | as unboxed     | rubber roller      | high
    immel-1-stock        | immel-1        | as unboxed     | soft roller        | standard
    immel-2-normal       | immel-2        | normal power   | soft roller        | standard
    immel-2-max          | immel-2        | full power     | soft roller        | full
    immel-2-dok-stock    | immel-2-dok    | as unboxed     | soft roller        | standard
    vasp-30-stock        | vasp-30        | as unboxed     | soft roller        | high
    vasp-50-auto         | vasp-50        | automatic      | soft roller        | automatic
    vasp-50-boost        | vasp-50        | boost          | soft roller        | boost
    pikk-stock           | pikk           | as unboxed     | none               | high
    mosqua-1-stock       | mosqua-1       | as unboxed     | wet roller         | automatic
    mosqua-2-stock       | mosqua-2       | as unboxed     | wet roller         | automatic
    mosqua-3-stock       | mosqua-3       | as unboxed     | wet roller         | automatic
    tremmo-4-stock       | tremmo-4       | as unboxed     | rubber roller      | vacuum and mop
    ilvane-1-stock       | ilvane-1       | as unboxed     | twin roller        | high
    ilvane-r-stock       | ilvane-r       | as lent        | twin roller        | standard
    undrey-1-stock       | undrey-1       | as unboxed     | twin roller        | vacuum and mop
    aluen-2-stock        | aluen-2        | as unboxed     | bristle roller     | high
    aluen-5-stock        | aluen-5        | as unboxed     | bristle roller     | high
    aluen-6-roller       | aluen-6        | soft roller    | soft roller        | high
    aluen-6-bristle      | aluen-6        | bristle bar    | bristle bar        | high
    oriq-3-stock         | oriq-3         | as unboxed     | rubber roller      | high
    velloq-700-stock     | velloq-700     | as unboxed     | wet roller         | automatic
    velloq-900-stock     | velloq-900     | as unboxed     | soft roller        | high
    velloq-1100-stock    | velloq-1100    | as unboxed     | powered roller     | highest
    velloq-1200-normal   | velloq-1200    | normal         | powered roller     | standard
    velloq-1200-deep     | velloq-1200    | deep clean     | powered roller     | deep clean
    """,
    """
    setup                | pattern          | overlap | water    | firmware
    nibb-100-stock       | wandering        |         |          |
    nibb-200-stock       | wandering        |         |          | 1.0.4
    kubrit-21-stock      | lanes            | a third |          | 2.7.0
    kubrit-31-stock      | lanes            | a third |          | 3.1.2
    kubrit-31-wash-dry   | lanes            | a third | off      | 3.2.0
    kubrit-31-wash-mop   | lanes            | a half  | medium   | 3.2.0
    immel-1-stock        | lanes            | a third |          | 84
    immel-2-normal       | lanes            | a third |          | 112
    immel-2-max          | lanes, twice     | a third |          | 112
    immel-2-dok-stock    | lanes            | a third | low      | 131
    mosqua-1-stock       |                  |         | auto     |
    mosqua-2-stock       |                  |         | auto     |
    mosqua-3-stock       |                  |         | auto     | 0.9
    tremmo-4-stock       | lanes            | a half  | medium   | 5.0.1
    ilvane-r-stock       | lanes            |         |          | trial
    undrey-1-stock       | lanes            | a half  | medium   | 0.8.3
    oriq-3-stock         | lanes            | a third | low      | 20.4
    velloq-700-stock     |                  |         | auto     |
    velloq-1200-normal   | lanes            | a third |          | 7.2
    velloq-1200-deep     | lanes, crosswise | a half  |          | 7.3
    """,
    """
    setup                | specimen | stock | reference | publish_on
    hofta-310-reference  | unit A   | true  | true      |
    hofta-520-floor      | unit A   | true  | false     |
    hofta-520-turbo      | unit A   | false | false     |
    lanke-7-stock        | unit A   | true  | false     |
    gradda-2-stock       | unit A   | true  | false     |
    torvek-60-stock      | unit A   | true  | false     |
    torvek-80-stock      | unit A   | true  | false     |
    kelbrin-14-stock     | unit A   | true  | false     |
    kelbrin-3-stock      | loan 3   | true  | false     |
    fenlow-6-stock       | unit A   | true  | false     |
    fenlow-9-stock       | unit A   | true  | false     |
    braddle-4-stock      | unit B   | true  | false     |
    hessop-2-stock       | unit A   | true  | false     |
    nibb-100-stock       | unit A   | true  | false     |
    nibb-200-stock       | unit A   | true  | false     |
    frasa-12-stock       | unit A   | true  | false     |
    kubba-8-stock        |          | true  | false     |
    kubrit-31-wash-dry   | loan 4   | true  | false     |
    kubrit-31-wash-mop   | loan 4   | true  | false     |
    immel-2-normal       | unit A   | true  | false     |
    immel-2-max          | unit A   | true  | false     |
    immel-2-dok-stock    | unit A   | true  | false     | 2026-03-14
    aluen-6-roller       | unit A   | true  | false     |
    aluen-6-bristle      | unit A   | false | false     |
    mosqua-3-stock       | loan 5   | true  | false     |
    ilvane-r-stock       | loan 6   | true  | false     |
    undrey-1-stock       | loan 7   | true  | false     | 2099-01-01
    velloq-1200-normal   | unit A   | true  | false     |
    velloq-1200-deep     | unit A   | true  | false     |
    """,
)
