"""Axes: they hold every value, begin where the values do and name the first place."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.charts.scale import place_ticks, value_domain

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
