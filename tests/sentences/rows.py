"""Names and rows that the sentences' tests start from."""

from __future__ import annotations

from datetime import date

from trialpress.analyses.records import (
    AssociationGroupRow,
    AssociationRow,
    ClaimAssociationRow,
    ClaimCheckRow,
    MakerFieldRow,
    MovementRow,
    SetupDeltaRow,
    ValueRow,
)
from trialpress.view.names import Names, SeriesName, SetupName
from trialpress.view.results import DriftChart, Standing
from trialpress.words import figures

SINCE, UNTIL = date(2031, 3, 1), date(2031, 4, 1)


def plain(text: str) -> str:
    """Without the characters that look like others."""
    return text.replace(figures.NO_BREAK_SPACE, " ").replace(figures.MINUS, "-")


def setup(slug: str, label: str) -> SetupName:
    return SetupName(slug, label, "one", "Stick One", "maker", "Maker One")


NAMES = Names(
    setups={"soft": setup("soft", "soft brushes"), "stock": setup("stock", "as unboxed")},
    machines={"one": "Maker One Stick One"},
    makers={"maker": "Maker One"},
    series={
        ("rug", 1): SeriesName("rug", 1, "Dust in a rug", "%", "higher", True),
        ("noise", 1): SeriesName("noise", 1, "Noise", "dB(A)", "lower", True),
        ("rug-old", 1): SeriesName("rug-old", 1, "Dust in a rug", "%", "higher", False),
    },
    confidence=0.95,
)

DELTA = SetupDeltaRow(
    machine="one",
    protocol="rug",
    version=1,
    setup="soft",
    other="stock",
    differs="brushes",
    n=3,
    other_n=4,
    mean=86.0,
    other_mean=80.0,
    difference=6.0,
    low=1.5,
    high=10.5,
    relation="better",
    by_less_than_matters=False,
    why=None,
    unit="%",
    decimals=1,
)

GROUP = AssociationGroupRow(
    protocol="rug",
    version=1,
    factor="head",
    level="rubber roller",
    machines=5,
    others=20,
    median=70.0,
    lowest=60.0,
    highest=75.0,
    shift=8.0,
    shift_low=2.0,
    shift_high=14.0,
    p=0.004,
    p_fdr=0.00004,
    relation="better",
    raw_shift=9.0,
    raw_p=0.1,
    differs_from_raw=False,
    only_maker=None,
    only_kind=None,
    warning=None,
    why=None,
    unit="%",
    decimals=1,
)

STATED = ClaimAssociationRow(
    quantity="rated-power",
    unit="W",
    protocol="rug",
    version=1,
    machines=9,
    makers=8,
    rho=0.99,
    rho_low=0.94,
    rho_high=1.0,
    p=0.0,
    p_fdr=0.0001,
    relation="goes with",
    raw_rho=0.9,
    raw_p=0.001,
    differs_from_raw=False,
    warning=None,
    why=None,
)

MAKER = MakerFieldRow(
    maker="maker",
    protocol="rug",
    version=1,
    machines=6,
    others=30,
    pairs=180,
    pairs_better=20,
    pairs_worse=100,
    pairs_level=1,
    pairs_cannot_tell=59,
    median=60.0,
    field_median=70.0,
    shift=-10.0,
    shift_low=-15.0,
    shift_high=-4.0,
    p=0.002,
    p_holm=0.018,
    relation="worse",
    raw_shift=-9.0,
    differs_from_raw=False,
    only_kind=None,
    warning=None,
    why=None,
    unit="%",
    decimals=1,
)

FACTOR = AssociationRow(
    protocol="rug",
    version=1,
    factor="price",
    machines=31,
    makers=11,
    left_out=1,
    groups=None,
    groups_small=None,
    groups_of_one_maker=None,
    effect_name="rho",
    effect=-0.46,
    effect_low=-0.69,
    effect_high=-0.15,
    p=0.0037,
    p_fdr=0.0185,
    relation="goes with",
    raw_effect=-0.5,
    raw_p=0.001,
    differs_from_raw=False,
    warning=None,
    why=None,
)

CLAIM = ClaimCheckRow(
    claim="one-suction",
    machine="one",
    maker="maker",
    quantity="rug",
    stated_value=78.0,
    stated_unit="inH2O",
    tolerance_pct=0.0,
    source="box",
    stated_on=date(2031, 2, 1),
    is_newest=True,
    is_of_machine=True,
    value=19.4289,
    unit="kPa",
    dimension="pressure",
    protocol="rug",
    version=1,
    setup="stock",
    held_against="as-unboxed",
    candidates=1,
    bound=60.0,
    measured=55.2,
    n=1,
    difference=-4.8,
    difference_low=-6.1,
    difference_high=-3.5,
    p=0.00002,
    p_holm=0.0003,
    verdict="not kept",
    decimals=1,
    why=None,
)

VALUE = ValueRow(
    protocol="rug",
    version=1,
    setup="stock",
    machine="one",
    maker="maker",
    mean=80.6,
    low=79.0,
    high=82.2,
    n=3,
    price=1249.0,
    currency="EUR",
    priced_on=date(2030, 1, 5),
    is_price_old=True,
    cost_no_more=3,
    front="certain",
    beaten_by=None,
    beaten_by_count=0,
    unit="%",
    decimals=1,
    why=None,
)

MOVED = MovementRow(
    since=SINCE,
    until=UNTIL,
    protocol="rug",
    version=1,
    setup="stock",
    change="down",
    place_before=4,
    place=5,
    mean_before=90.8,
    mean=90.8,
    place_best_before=1,
    place_worst_before=12,
    place_best=1,
    place_worst=13,
    new_runs=0,
    corrected_runs=0,
    new_above=1,
    others_passed=0,
    why="new-competitor",
    decimals_before=1,
    decimals=1,
)

STANDING = Standing(
    protocol="rug",
    version=1,
    position=2,
    place=2,
    setup="soft",
    machine="one",
    maker="maker",
    mean=86.0,
    low=83.0,
    high=89.0,
    n=3,
    place_best=1,
    place_worst=5,
    chance_top=0.99,
    top="possible",
    relation_to_first="cannot tell",
    on_one_run=False,
    one_sitting=False,
    provisional=False,
    decimals=1,
    unit="%",
    unusual_spread=False,
    why=None,
)

DRIFT = DriftChart(
    protocol="rug",
    version=1,
    setup="stock",
    floor="hall",
    days=12,
    baseline=12,
    matters=1.5,
    days_ahead=10,
    chance_of_false_alarm=0.04,
    chance_to_see=0.54,
    step_on=date(2031, 3, 9),
    step_size=-2.0,
    step_p=0.004,
    decimals=2,
)
