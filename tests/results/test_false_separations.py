"""The promises on false separations, in a quick version of the study in ``tests/audit``."""

from __future__ import annotations

import math

import pytest

from audit.separation_study import own_days, repeated_looks, scenarios, simulate

TIMES = 1500


def allowed(promised: float) -> float:
    """The promise of methods.md, half a point and three errors of this many simulations."""
    return promised + 0.5 + 300 * math.sqrt(promised / 100 / TIMES)


@pytest.mark.parametrize(
    ("name", "promised"),
    [
        ("3 runs each", 5.5),
        ("2 runs each", 5.5),
        ("1 to 5 runs", 5.5),
        ("threefold range of noise", 7.0),
        ("one four times noisier", 9.0),
    ],
)
def test_equals_are_told_apart_no_more_often_than_promised(name: str, promised: float) -> None:
    (scenario,) = (one for one in scenarios(8) if one.name == name)

    found = simulate(scenario, TIMES)

    assert found.false_separation <= allowed(promised)


def test_the_guard_costs_no_more_power_than_promised() -> None:
    found = simulate(next(scenarios(8)), TIMES)

    assert found.plain_power - found.power <= 12


def test_intervals_of_single_means_cover_what_they_say() -> None:
    found = simulate(next(scenarios(8)), TIMES)

    assert found.coverage == pytest.approx(95, abs=1)


def test_days_are_carried_where_the_plain_method_is_fooled_by_them() -> None:
    found = simulate(own_days(8, 1.0), TIMES)

    assert found.plain_false_separation > 40
    assert found.false_separation < 10


def test_looking_again_and_again_finds_more_than_there_is() -> None:
    stopped, planned = repeated_looks(8, 6, 600)

    assert stopped >= planned
