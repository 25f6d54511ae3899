"""Axes: they hold every value, begin where the values do and name the first place."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.charts.scale import nice_ticks, place_ticks, value_domain

VALUES = st.floats(min_value=-1e6, max_value=1e6)


@given(st.lists(VALUES, min_size=1))
def test_an_axis_holds_every_value_with_air_on_both_sides(values: list[float]) -> None:
    low, high = value_domain(values)

    assert low <= min(values)
    assert high >= max(values)
    assert low < high


def test_an_axis_does_not_start_at_zero_for_its_own_sake() -> None:
    # 5 % of the width of 10 on both sides, by hand.
    assert value_domain([80.0, 90.0, None]) == pytest.approx((79.5, 90.5))


@pytest.mark.parametrize(("value", "domain"), [(50.0, (45.0, 55.0)), (0.0, (-1.0, 1.0))])
def test_a_single_value_still_gets_an_axis(value: float, domain: tuple[float, float]) -> None:
    assert value_domain([value]) == pytest.approx(domain)


@pytest.mark.parametrize(
    ("places", "ticks"),
    [(1, [1]), (4, [1, 2, 3, 4]), (11, [1, 10]), (45, [1, 10, 20, 30, 40])],
)
def test_the_first_place_is_always_named(places: int, ticks: list[int]) -> None:
    assert place_ticks(places) == ticks


@pytest.mark.parametrize(
    ("low", "high", "ticks"),
    [
        (84.5, 103.2, [85, 90, 95, 100]),  # a sixth of the way is 3.1, so 5
        (9.0, 105.0, [20, 40, 60, 80, 100]),
        (-0.31, 0.22, [-0.3, -0.2, -0.1, 0.0, 0.1, 0.2]),
    ],
)
def test_an_axis_carries_round_figures(low: float, high: float, ticks: list[float]) -> None:
    assert nice_ticks(low, high)[0] == pytest.approx(ticks)


@given(st.lists(VALUES, min_size=1))
def test_any_axis_carries_two_to_seven_figures_within_its_ends(values: list[float]) -> None:
    low, high = value_domain(values)

    ticks, step = nice_ticks(low, high)

    assert 2 <= len(ticks) <= 7
    assert low - step / 1e6 <= ticks[0] < ticks[-1] <= high + step / 1e6
