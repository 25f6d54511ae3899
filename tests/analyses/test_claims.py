"""Claims in one unit, held against measurements, and together as air power."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.analyses.claim_associations import air_powers
from trialpress.analyses.claim_checks import bound_of, check_claims, digits_for, verdict
from trialpress.analyses.claims import Measured, StatedClaim
from trialpress.analyses.codes import Why
from trialpress.results.metric import mean_interval

DAY = date(2031, 2, 1)


def claim(quantity: str, value: float, unit: str, *, source: str = "box") -> StatedClaim:
    name = f"one-{quantity}-{value:g}"
    return StatedClaim(
        name, "one", None, "maker", quantity, value, unit, 0, source, DAY, True, True
    )


DF = 12
CELL = Measured(
    protocol="runtime",
    version=2,
    setup="one-stock",
    machine="one",
    is_as_unboxed=True,
    is_only_one_as_unboxed=True,
    mean=0.0,
    low=0.0,
    high=0.0,
    interval_se=0.0,
    df=DF,
    n=4,
    unit="min",
    higher_is_better=True,
    decimals=1,
    why=None,
)


def measured(mean: float, interval_se: float = 0.5, of: Measured = CELL) -> Measured:
    ends = mean_interval(np.array([mean]), np.array([interval_se]), np.array([DF]), 0.95)
    low, high = (float(end[0]) for end in ends)
    return replace(of, mean=mean, low=low, high=high, interval_se=interval_se)


def eco(mean: float) -> Measured:
    return measured(mean, of=replace(CELL, setup="one-eco", is_only_one_as_unboxed=False))


RUNTIME = measured(55.2, 0.6)


def test_a_claim_in_hours_is_held_against_minutes() -> None:
    # t(.975, 12) = 2.1788, times 0.6 is 1.307: -4.8 - 1.3 and -4.8 + 1.3.
    (row,) = check_claims([claim("runtime", 1.0, "h")], [RUNTIME], 0.95)

    assert (row.stated_value, row.stated_unit, row.value, row.unit) == (1.0, "h", 60.0, "min")
    assert (row.difference, row.difference_low, row.difference_high) == (-4.8, -6.1, -3.5)
    assert (row.verdict, row.version, row.n, row.bound) == ("not kept", 2, 4, 60.0)
    assert (row.setup, row.held_against, row.candidates) == ("one-stock", "as-unboxed", 1)


@pytest.mark.parametrize(
    ("low", "high", "higher_is_better", "expected"),
    [
        (0.0, 2.0, True, "kept"),
        (-0.1, 2.0, True, "cannot tell"),
        (-2.0, -0.1, True, "not kept"),
        (-2.0, 0.0, True, "cannot tell"),
        (-2.0, 0.0, False, "kept"),
        (0.1, 2.0, False, "not kept"),
        (math.nan, math.nan, True, "cannot tell"),
    ],
)
def test_a_verdict_needs_the_whole_interval(
    low: float, high: float, *, higher_is_better: bool, expected: str
) -> None:
    assert verdict(low, high, higher_is_better=higher_is_better) == expected


def test_a_lower_end_that_only_rounding_lifts_to_the_claim_does_not_keep_it() -> None:
    # The lower end is 68.279: rounded to the series' one decimal it is the 68.3 claimed.
    close = replace(CELL, mean=70.0, low=68.279, high=71.721, interval_se=0.79)

    (row,) = check_claims([claim("runtime", 68.3, "min")], [close], 0.95)

    assert row.verdict == "cannot tell"
    assert (row.difference_low, row.decimals) == (-0.02, 2)


@given(st.floats(-3, 3), st.floats(-3, 3), st.integers(0, 3))
def test_a_printed_end_is_on_the_side_that_it_is_on(one: float, other: float, digits: int) -> None:
    found = digits_for((one, other), digits)

    for end in (one, other):
        if abs(end) >= 0.5 * 10 ** -(digits + 3):
            assert np.sign(round(end, found)) == np.sign(end)


@pytest.mark.parametrize(
    ("stated", "tolerance_pct", "higher_is_better", "expected"),
    [(60.0, 5.0, True, 57.0), (70.0, 10.0, False, 77.0), (-20.0, 10.0, True, -22.0)],
)
def test_a_tolerance_is_granted_in_full(
    stated: float, tolerance_pct: float, *, higher_is_better: bool, expected: float
) -> None:
    assert bound_of(stated, tolerance_pct, higher_is_better=higher_is_better) == expected


def test_a_claim_that_is_out_by_less_than_its_tolerance_is_kept() -> None:
    strict, lenient = (
        check_claims(
            [replace(claim("runtime", 60, "min"), tolerance_pct=of)], [measured(57)], 0.95
        )[0]
        for of in (0, 10)
    )

    assert (strict.verdict, strict.difference) == ("not kept", -3.0)
    assert (lenient.verdict, lenient.bound, lenient.difference) == ("kept", 54.0, 3.0)


def test_a_claim_about_a_set_up_is_held_against_no_other() -> None:
    boost = measured(20.0, of=replace(CELL, setup="one-boost", is_as_unboxed=False))

    about_eco = replace(claim("runtime", 60, "min"), setup="one-eco")
    about_max = replace(about_eco, setup="one-max")

    (row,) = check_claims([about_eco], [boost, eco(62)], 0.95)
    (gone,) = check_claims([about_max], [boost, eco(62)], 0.95)

    assert (row.setup, row.held_against, row.verdict) == ("one-eco", "stated", "kept")
    assert (gone.setup, gone.verdict, gone.why) == ("one-max", None, Why.SETUP_NOT_MEASURED)


def test_of_several_set_ups_as_unboxed_the_most_favourable_counts_once() -> None:
    boost = measured(20.0, of=replace(CELL, setup="one-boost", is_only_one_as_unboxed=False))

    (row,) = check_claims([claim("runtime", 60, "min")], [boost, eco(66)], 0.95)

    assert (row.setup, row.held_against, row.candidates) == ("one-eco", "most-favourable", 2)
    assert row.verdict == "kept"


def test_no_set_up_may_keep_a_claim_before_it_is_said_to_be_broken() -> None:
    # The better one is plainly below; of the other nothing is known, so it may keep the claim.
    vague = measured(40.0, 30.0, of=replace(CELL, setup="one-b", is_only_one_as_unboxed=False))

    (row,) = check_claims([claim("runtime", 60, "min")], [eco(55), vague], 0.95)

    assert (row.setup, row.verdict) == ("one-eco", "cannot tell")


def test_the_best_of_several_has_had_several_chances() -> None:
    (alone,) = check_claims([claim("runtime", 60, "min")], [measured(61.3)], 0.95)
    (of_two,) = check_claims([claim("runtime", 60, "min")], [eco(61.3), eco(20)], 0.95)

    assert alone.verdict == "kept"
    assert of_two.p == pytest.approx(2 * (alone.p or 0), abs=2e-4)


def test_among_many_claims_one_that_looks_broken_by_chance_is_not_told() -> None:
    # 2.4 standard errors short: t.cdf(-2.4, 12) = .0168, told alone; three such tests are too many.
    short = claim("runtime", 56.4, "min")
    others = [claim("runtime", 55.0 + tenth / 10, "min") for tenth in (0, 1)]

    (alone,) = check_claims([short], [measured(55.2)], 0.95)
    among = check_claims([short, *others], [measured(55.2)], 0.95)[0]

    assert (alone.verdict, alone.p, alone.p_holm) == ("not kept", 0.0168, 0.0168)
    assert (among.verdict, among.p, among.p_holm) == ("cannot tell", 0.0168, 0.0503)
    assert among.difference_high == alone.difference_high


def test_claims_that_are_kept_do_not_make_it_harder_to_tell_one_that_is_not() -> None:
    # Holm goes from the smallest p on, so that plain cases leave the others room.
    plain = [claim("runtime", 80.0 + i, "min") for i in range(3)]

    told = check_claims([*plain, claim("runtime", 56.4, "min")], [measured(55.2)], 0.95)

    assert [row.verdict for row in told] == ["not kept"] * 4


def test_of_sites_whose_claims_are_all_just_kept_few_say_that_any_is_not() -> None:
    # Means of twelve machines that measure just what they claim: t with 12 degrees of freedom.
    draws = np.random.default_rng(20310311)
    claims = [replace(claim("runtime", 60, "min"), machine=f"m{i}") for i in range(12)]
    told = 0
    for _ in range(400):
        errors = np.sqrt(draws.chisquare(DF, 12) / DF)
        machines = [
            measured(60 + float(draws.normal()), float(error), replace(CELL, machine=f"m{i}"))
            for i, error in enumerate(errors)
        ]
        told += any(row.verdict == "not kept" for row in check_claims(claims, machines, 0.95))

    assert told / 400 <= 0.05 + 2 * 0.011  # two standard errors; without a family it is 26 %


@pytest.mark.parametrize(
    ("quantity", "unit", "why"),
    [
        ("runtime", "fnord", Why.UNIT_UNKNOWN),
        ("suction", "kPa", Why.NOT_MEASURED_HERE),
        ("runtime", "W", Why.OTHER_DIMENSION),
    ],
)
def test_what_is_not_compared_says_why(quantity: str, unit: str, why: str) -> None:
    (row,) = check_claims([claim(quantity, 5.0, unit)], [RUNTIME], 0.95)

    assert (row.verdict, row.why) == (None, why)


def test_without_an_interval_nothing_is_told_and_the_series_says_why() -> None:
    known = replace(CELL, mean=10.0, why="no-repeats")
    unknown = replace(known, low=None, high=None, interval_se=None, df=None)

    (row,) = check_claims([claim("runtime", 60, "min")], [unknown], 0.95)

    assert (row.verdict, row.difference, row.difference_low) == ("cannot tell", -50.0, None)
    assert (row.p_holm, row.why) == (None, "no-repeats")


def test_two_maxima_make_no_air_power() -> None:
    (row,) = air_powers([claim("suction", 20.0, "kPa"), claim("airflow", 30.0, "L/s")])

    assert (row.ceiling_w, row.air_power_w, row.operating_point) == (600.0, None, None)
    assert row.why is Why.TWO_MAXIMA


def test_pressure_and_flow_at_one_point_do() -> None:
    # 10 kPa x 15 L/s = 150 W.
    (row,) = air_powers(
        [claim("suction-at-best", 10.0, "kPa"), claim("airflow-at-best", 15, "L/s")]
    )

    assert (row.air_power_w, row.operating_point, row.why) == (150.0, "best", None)


def test_figures_of_two_sources_are_not_put_together() -> None:
    two = [claim("suction", 20.0, "kPa"), claim("airflow", 30.0, "L/s", source="manual")]

    assert air_powers(two) == []


def test_two_points_are_not_put_together() -> None:
    two = [claim("suction-at-best", 20.0, "kPa"), claim("airflow", 30.0, "L/s")]

    assert air_powers(two) == []
