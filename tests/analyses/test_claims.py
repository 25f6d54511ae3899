"""Claims in one unit, held against measurements, and together as air power."""

from __future__ import annotations

from datetime import date

import pytest

from trialpress.analyses.claim_associations import air_powers
from trialpress.analyses.claims import Claim, Measured, check_claims, verdict

DAY = date(2031, 2, 1)


def claim(quantity: str, value: float, unit: str, *, source: str = "box") -> Claim:
    return Claim(f"one-{quantity}", "one", "maker", quantity, value, unit, source, DAY, True)


RUNTIME = Measured(
    protocol="runtime",
    version=2,
    setup="one-stock",
    machine="one",
    mean=55.2,
    low=53.9,
    high=56.5,
    n=4,
    unit="min",
    higher_is_better=True,
    decimals=1,
    why=None,
)


def test_a_claim_in_hours_is_held_against_minutes() -> None:
    (row,) = check_claims([claim("runtime", 1.0, "h")], [RUNTIME])

    assert (row.stated_value, row.stated_unit, row.value, row.unit) == (1.0, "h", 60.0, "min")
    assert (row.difference, row.difference_low, row.difference_high) == (-4.8, -6.1, -3.5)
    assert (row.verdict, row.version, row.n) == ("not kept", 2, 4)


@pytest.mark.parametrize(
    ("low", "high", "higher_is_better", "expected"),
    [
        (0.0, 2.0, True, "kept"),
        (-0.1, 2.0, True, "cannot tell"),
        (-2.0, -0.1, True, "not kept"),
        (-2.0, 0.0, True, "cannot tell"),
        (-2.0, 0.0, False, "kept"),
        (0.1, 2.0, False, "not kept"),
        (None, None, True, "cannot tell"),
    ],
)
def test_a_verdict_needs_the_whole_interval(
    low: float | None, high: float | None, *, higher_is_better: bool, expected: str
) -> None:
    assert verdict(low, high, higher_is_better=higher_is_better) == expected


@pytest.mark.parametrize(
    ("quantity", "unit", "why"),
    [
        ("runtime", "fnord", "its unit is not known"),
        ("suction", "kPa", "this bench does not measure it"),
        ("runtime", "W", "it is measured in a unit of another kind"),
    ],
)
def test_what_is_not_compared_says_why(quantity: str, unit: str, why: str) -> None:
    (row,) = check_claims([claim(quantity, 5.0, unit)], [RUNTIME])

    assert (row.verdict, row.why) == (None, why)


def test_two_maxima_make_no_air_power() -> None:
    (row,) = air_powers([claim("suction", 20.0, "kPa"), claim("airflow", 30.0, "L/s")])

    assert (row.ceiling_w, row.air_power_w, row.operating_point) == (600.0, None, None)
    assert row.why is not None


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
