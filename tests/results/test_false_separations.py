"""The promises on false separations, in a quick version of the study in ``tests/audit``."""

from __future__ import annotations

import math
from functools import cache

import pytest

from audit.equal_setups import own_days, scenarios, shared_days_of
from audit.separation_study import repeated_looks
from audit.separation_study import simulate as simulate_anew

TIMES = 600
simulate = cache(simulate_anew)
"""Several tests look at one outcome."""


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

    assert found.power >= 80 - 12 - 0.5 - 300 * math.sqrt(0.68 * 0.32 / TIMES)


def test_intervals_of_single_means_cover_what_they_say() -> None:
    found = simulate(next(scenarios(8)), TIMES)

    assert found.coverage == pytest.approx(95, abs=1)


def test_days_are_carried_where_the_plain_method_is_fooled_by_them() -> None:
    found = simulate(own_days(8, 1.0), TIMES)

    assert found.plain_false_separation > 40
    assert found.false_separation < 10


@pytest.mark.parametrize("sitting_spread", [0.0, 0.5, 1.0])
def test_sittings_are_carried_where_set_ups_share_days(sitting_spread: float) -> None:
    found = simulate(shared_days_of(8, sitting_spread), TIMES)

    assert found.false_separation <= 6.0 + 0.5 + 300 * math.sqrt(0.06 / TIMES)
    assert found.coverage >= 93


@pytest.mark.parametrize("name", ["one four times noisier", "threefold range of noise"])
def test_the_interval_of_the_noisiest_of_eight_holds_its_mean(name: str) -> None:
    (scenario,) = (one for one in scenarios(8) if one.name == name)

    found = simulate(scenario, TIMES)

    # In 90 %; the pooled spread alone would do so in 59.
    assert found.noisiest_coverage >= 90 - 0.5 - 300 * math.sqrt(0.09 / TIMES)


def test_looking_again_and_again_finds_more_than_there_is() -> None:
    stopped, planned = repeated_looks(8, 6, 300)

    assert stopped >= planned
