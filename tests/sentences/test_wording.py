"""Every kind of sentence, word for word. Spaces before units and minus signs are made plain."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from sentences.rows import CLAIM, DELTA, FACTOR, MAKER, MOVED, NAMES, SINCE, UNTIL, VALUE
from trialpress.analyses.cuts import CutRow
from trialpress.analyses.records import (
    AirPowerRow,
    AssociationGroupRow,
    ClaimAssociationRow,
    SpanRow,
)
from trialpress.sentences import claims, cuts, groups, movements, numbers, setups, value

NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"


def plain(text: str) -> str:
    return text.replace(NO_BREAK_SPACE, " ").replace(numbers.MINUS, "-")


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "Maker One Stick One on Dust in a rug: soft brushes is better than as unboxed, "
                "by 6.0 "
                "points (95 % interval 1.5 to 10.5, 3 and 4 runs)."
            ),
        ),
        (
            {"relation": "worse", "difference": -6.0, "low": -10.5, "high": -1.5, "other_n": 1},
            (
                "Maker One Stick One on Dust in a rug: soft brushes is worse than as unboxed, "
                "by 6.0 "
                "points (95 % interval 1.5 to 10.5, 3 and 1 run)."
            ),
        ),
        (
            {"difference": 1.0, "low": 0.2, "high": 1.8, "by_less_than_matters": True},
            (
                "Maker One Stick One on Dust in a rug: soft brushes is better than as unboxed, "
                "by 1.0 "
                "points (95 % interval 0.2 to 1.8, 3 and 4 runs), less than matters."
            ),
        ),
        (
            {"relation": "level", "difference": 0.1, "low": -0.5, "high": 0.7},
            (
                "Maker One Stick One on Dust in a rug: soft brushes and as unboxed are level; the "
                "difference is +0.1 points (95 % interval -0.5 to 0.7, 3 and 4 runs), all of "
                "it less "
                "than matters."
            ),
        ),
        (
            {"relation": "cannot tell", "difference": -0.04, "low": -3.0, "high": 2.9},
            (
                "Maker One Stick One on Dust in a rug: cannot tell soft brushes from as "
                "unboxed; the "
                "difference is 0.0 points (95 % interval -3.0 to 2.9, 3 and 4 runs)."
            ),
        ),
        (
            {"relation": "cannot tell", "difference": None, "low": None, "high": None}
            | {"why": "the set-up has no valid run in this series"},
            (
                "Maker One Stick One on Dust in a rug: cannot tell soft brushes from as "
                "unboxed, as the "
                "set-up has no valid run in this series."
            ),
        ),
    ],
)
def test_set_ups(changed: dict[str, object], expected: str) -> None:
    assert plain(setups.setup_delta(replace(DELTA, **changed), NAMES)) == expected  # type: ignore[arg-type]


def test_a_pair_over_all_its_series() -> None:
    noise = replace(DELTA, protocol="noise", unit="dB(A)", relation="worse")
    old = replace(DELTA, protocol="rug-old", relation="cannot tell", low=-1.0)

    assert plain(setups.setup_pair([DELTA, noise, old], NAMES)) == (
        "Maker One Stick One, soft brushes against as unboxed: better on Dust in a rug, by 6.0 "
        "points (95 % interval 1.5 to 10.5, 3 and 4 runs); worse on Noise, by 6.0 dB(A) (95 % "
        "interval 1.5 to 10.5, 3 and 4 runs); cannot tell on Dust in a rug, version 1. They differ "
        "in brushes."
    )


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "Maker One on Dust in a rug: its 6 machines are worse than the 30 others, by 10.0 "
                "points (95 % interval 4.0 to 15.0, corrected p 0.018). Of its 180 pairs with "
                "set-ups "
                "of others, 20 are better, 100 worse, 1 level and 59 not told apart."
            ),
        ),
        (
            {"relation": "cannot tell", "shift_high": 1.0, "p_holm": 0.2, "pairs": 0}
            | {"warning": "fewer than 5 machines"},
            (
                "Maker One on Dust in a rug: its 6 machines cannot be told from the 30 others "
                "(shift "
                "-10.0 points, 95 % interval -15.0 to 1.0, corrected p 0.20). Beware: fewer than 5 "
                "machines."
            ),
        ),
        (
            {"relation": "cannot tell", "machines": 1, "others": 1, "shift_low": None}
            | {"why": "there are too few machines for an interval", "pairs": 1}
            | {"pairs_better": 0, "pairs_worse": 1, "pairs_level": 0},
            (
                "Maker One on Dust in a rug: its 1 machine cannot be told from the other "
                "machine, as "
                "there are too few machines for an interval. Its 1 pair with a set-up of "
                "another maker "
                "is worse."
            ),
        ),
    ],
)
def test_makers_against_the_field(changed: dict[str, object], expected: str) -> None:
    row = replace(MAKER, **changed)  # type: ignore[arg-type]

    assert plain(groups.maker_against_field(row, NAMES)) == expected


def test_the_overview_of_a_maker_tells_how_many_were_tried() -> None:
    row = groups.Overview("maker", "rug", 1, 5, 91.1, 90.3, 82.3, 2, 5, "%", 1)

    assert plain(groups.maker_overview(row, NAMES)) == (
        "Maker One on Dust in a rug: 5 set-ups tried: best 91.1, median 90.3, worst 82.3 %; 2 of 5 "
        "in the top 5."
    )
    assert plain(groups.maker_overview(replace(row, setups=1, in_top_cut=0), NAMES)) == (
        "Maker One on Dust in a rug: 1 set-up tried, 91.1 %; 0 of 1 in the top 5."
    )


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "The price goes with the results on Dust in a rug over 31 machines (rho -0.46, "
                "95 % "
                "interval -0.69 to -0.15, corrected p 0.018): the higher it is, the lower the "
                "value. "
                "That does not make it the cause. 1 machine is left out, as nothing is known of it "
                "there."
            ),
        ),
        (
            {"factor": "head", "effect_name": "eta squared", "groups": 4, "left_out": 0}
            | {"effect": 0.02, "effect_low": 0.0, "effect_high": 0.3, "relation": "cannot tell"}
            | {"p_holm": 1.0, "warning": "2 of 4 groups with fewer than 5 machines"},
            (
                "Whether the head goes with the results on Dust in a rug cannot be told from "
                "31 machines "
                "in 4 groups (eta squared 0.02, 95 % interval 0.00 to 0.30, corrected p 1.00). "
                "Beware: "
                "2 of 4 groups with fewer than 5 machines."
            ),
        ),
        (
            {"effect": None, "relation": "cannot tell", "left_out": 0}
            | {"why": "fewer than 5 machines have one"},
            (
                "Whether the price goes with the results on Dust in a rug cannot be told: "
                "fewer than 5 "
                "machines have one."
            ),
        ),
    ],
)
def test_what_goes_with_results(changed: dict[str, object], expected: str) -> None:
    assert plain(groups.association(replace(FACTOR, **changed), NAMES)) == expected  # type: ignore[arg-type]


def test_a_group_of_machines() -> None:
    row = AssociationGroupRow(
        "rug", 1, "head", "rubber roller", 5, 20, 70.0, 60.0, 75.0, 8.0, 2.0, 14.0,
        0.7, 0.2, 0.9, 0.004, 0.00004, "better", None, None, "%", 1,
    )  # fmt: skip

    assert plain(groups.association_group(row, NAMES)) == (
        "On Dust in a rug, head rubber roller: 5 machines, median 70.0 % (60.0 to 75.0), are "
        "better "
        "than the 20 others, by 8.0 points (95 % interval 2.0 to 14.0, corrected p under 0.0001)."
    )


def test_a_stated_figure_and_results() -> None:
    row = ClaimAssociationRow(
        "rated-power", "W", "rug", 1, 9, 0.99, 0.94, 1.0, 0.0, 0.0001, "goes with", None, None
    )

    assert plain(groups.claim_association(row, NAMES)) == (
        "The rated power stated goes with the results on Dust in a rug over 9 machines (rho 0.99, "
        "95 % interval 0.94 to 1.00, corrected p 0.0001): the higher it is, the higher the value. "
        "That does not make it the cause."
    )


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "Maker One Stick One claims rug 78 inH2O, that is 19.4 kPa (box, 1 February 2031); "
                "measured 55.2 % (as unboxed; difference -4.8, 95 % interval -6.1 to -3.5, 1 "
                "run): the "
                "specimen measured does not keep the claim."
            ),
        ),
        (
            {"difference_high": 0.5, "verdict": "cannot tell", "unit": "inH2O"},
            (
                "Maker One Stick One claims rug 78 inH2O (box, 1 February 2031); measured 55.2 "
                "% (as "
                "unboxed; difference -4.8, 95 % interval -6.1 to 0.5, 1 run): cannot tell "
                "whether the "
                "claim is kept."
            ),
        ),
        (
            {"difference_low": None, "verdict": "cannot tell", "unit": "inH2O"},
            (
                "Maker One Stick One claims rug 78 inH2O (box, 1 February 2031); measured 55.2 "
                "% (as "
                "unboxed, 1 run, no interval): cannot tell whether the claim is kept."
            ),
        ),
        (
            {"measured": None, "why": "this bench does not measure it", "value": None},
            (
                "Maker One Stick One claims rug 78 inH2O (box, 1 February 2031); not held "
                "against a "
                "measurement, as this bench does not measure it."
            ),
        ),
    ],
)
def test_claims(changed: dict[str, object], expected: str) -> None:
    assert plain(claims.claim_check(replace(CLAIM, **changed), NAMES)) == expected  # type: ignore[arg-type]


def test_air_power() -> None:
    point = AirPowerRow("one", "best", "box", date(2031, 2, 1), 10.0, 15.0, 150.0, 150.0, None)
    maxima = replace(point, operating_point=None, air_power_w=None, why="both are maxima")

    assert plain(claims.air_power(point, NAMES)) == (
        "Maker One Stick One states 10 kPa and 15 L/s at one operating point (box, 1 February "
        "2031): an air power of 150 W as stated."
    )
    assert plain(claims.air_power(maxima, NAMES)) == (
        "Maker One Stick One states 10 kPa and 15 L/s (box, 1 February 2031); their product, "
        "150 W, "
        "is no air power, as both are maxima."
    )


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "for EUR 1,249 (5 January 2030); better than all of the 3 other set-ups that "
                "cost no "
                "more. The price is more than a year old."
            ),
        ),
        (
            {"front": "possible", "cost_no_more": 1, "is_price_old": False},
            (
                "for EUR 1,249 (5 January 2030); cannot tell whether the one other set-up that "
                "costs no "
                "more beats it."
            ),
        ),
        (
            {"front": "beaten", "beaten_by": "soft", "beaten_by_count": 1, "priced_on": None}
            | {"is_price_old": None},
            (
                "for EUR 1,249 (undated); Maker One Stick One (soft brushes) costs no more and is "
                "better."
            ),
        ),
        (
            {"front": "beaten", "beaten_by": "soft", "beaten_by_count": 3, "price": 89.9}
            | {"is_price_old": False},
            (
                "for EUR 89.90 (5 January 2030); Maker One Stick One (soft brushes) and 2 "
                "others cost "
                "no more and are better."
            ),
        ),
        (
            {"cost_no_more": 0, "is_price_old": False},
            (
                "for EUR 1,249 (5 January 2030); no other set-up with a comparable price costs as "
                "little."
            ),
        ),
    ],
)
def test_values(changed: dict[str, object], expected: str) -> None:
    told = plain(value.value(replace(VALUE, **changed), NAMES))  # type: ignore[arg-type]

    start = "Maker One Stick One (as unboxed), on Dust in a rug: 80.6 % (95 % interval 79.0 to 82.2"
    assert told == f"{start}, 3 runs) {expected}"


def test_a_value_that_is_not_compared() -> None:
    row = replace(VALUE, front=None, protocol="overall", version=0, n=None, why="no price is known")

    assert plain(value.value(row, NAMES)) == (
        "Maker One Stick One (as unboxed), on the overall: 80.6 % (95 % interval 79.0 to "
        "82.2); not "
        "compared by price, as no price is known."
    )


def test_cuts() -> None:
    inside = CutRow("soft", 1, 92.8, 92.8, 0.0, True, "possible", ("stock",))
    outside = CutRow("stock", 2, 92.1, 92.8, 0.7, False, "possible", ("soft",))
    both = [inside, outside]

    assert plain(cuts.top_cut(both, 1, ("rug", 1), 1, NAMES)) == (
        "Top 1 of 2 set-ups on Dust in a rug: Maker One Stick One (soft brushes) at 92.8; the cut "
        "is at 92.8 %. Just outside is Maker One Stick One (as unboxed), 0.7 points short; it "
        "cannot be told from 1 set-up inside."
    )
    assert plain(cuts.in_cut(replace(outside, top="out"), 2, ("rug", 1), 1, NAMES)) == (
        "Maker One Stick One (as unboxed) on Dust in a rug: place 2 of 2, outside the cut, 0.7 "
        "points short of it; the runs leave no doubt that it belongs outside."
    )
    assert plain(cuts.in_cut(replace(inside, top="certain"), 2, ("rug", 1), 1, NAMES)) == (
        "Maker One Stick One (soft brushes) on Dust in a rug: place 1 of 2, inside the cut, on its "
        "value; the runs leave no doubt that it belongs inside."
    )
    assert cuts.top_cut([], 3, ("rug", 1), 1, NAMES) == "On Dust in a rug there is none to cut."


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "down from place 4 to 5, the runs leave places 1 to 13 open (before places 1 "
                "to 12); 1 "
                "newcomer before it; nothing new was measured of it."
            ),
        ),
        (
            {"change": "up", "place": 2, "new_runs": 3, "others_passed": 2, "place_worst": 12}
            | {"why": "protocol-change new-runs others-moved"},
            (
                "up from place 4 to 2, the runs leave places 1 to 12 open as before; a new "
                "version of "
                "the protocol joined the series, 3 new runs of its own, 2 others changed sides "
                "with it."
            ),
        ),
        (
            {"change": "new", "place_best_before": None, "place_best": 5, "place_worst": 5}
            | {"why": "new-series new-runs", "new_runs": 1},
            (
                "new, in place 5, the runs leave place 5 open; the series is new, 1 new run of its "
                "own."
            ),
        ),
        (
            {"change": "gone", "place_best": None, "corrected_runs": 1, "why": "correction"},
            "no longer placed, before in place 4; 1 run of its own corrected.",
        ),
        (
            {"change": "stayed", "place_worst": 12, "why": None},
            (
                "still in place 5, the runs leave places 1 to 12 open as before; nothing new was "
                "measured."
            ),
        ),
    ],
)
def test_movements(changed: dict[str, object], expected: str) -> None:
    told = plain(movements.movement(replace(MOVED, **changed), NAMES))  # type: ignore[arg-type]

    assert told == f"Maker One Stick One (as unboxed), on Dust in a rug: {expected}"


def test_spans() -> None:
    assert plain(movements.span(SpanRow(SINCE, UNTIL, 3, None))) == (
        "Since 1 March 2031, over 3 bench days."
    )
    assert plain(movements.span(SpanRow(SINCE, UNTIL, 1, "there were faults"))) == (
        "Since 1 March 2031, over 1 bench day: there were faults."
    )


@pytest.mark.parametrize(
    ("p", "expected"),
    [
        (0.0, "p under 0.0001"),
        (0.0001, "p 0.0001"),
        (0.0286, "p 0.029"),
        (0.5, "p 0.50"),
        (1.0, "p 1.00"),
    ],
)
def test_a_p_value_is_never_rounded_to_nothing(p: float, expected: str) -> None:
    assert numbers.p_value(p) == expected


def test_figures_have_a_true_minus_and_no_negative_zero() -> None:
    assert [numbers.signed(figure, 1) for figure in (-1.25, -0.04, 0.0, 2.0)] == [
        f"{numbers.MINUS}1.2",
        "0.0",
        "0.0",
        "+2.0",
    ]
    assert numbers.three_digits(1014.4) == "1014"
    assert numbers.three_digits(0.012345) == "0.0123"
