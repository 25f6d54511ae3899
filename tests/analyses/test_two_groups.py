"""A group of machines against others of its kinds, by hand and by brute force."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.analyses.two_groups import MachineField, against_others, shift_over_all

SIZES = st.lists(st.integers(0, 30).map(float), min_size=1, max_size=5)


def field(values: list[float], strata: list[int] | None = None) -> MachineField:
    return MachineField(np.array(values), np.array(strata or [0] * len(values)))


def first(own: int, of: int) -> np.typing.NDArray[np.bool_]:
    return np.arange(of) < own


@given(SIZES, SIZES, st.integers(-50, 50))
def test_a_shift_follows_the_values_and_turns_with_the_groups(
    own: list[float], others: list[float], by: int
) -> None:
    group = first(len(own), len(own) + len(others))
    here = against_others(group, field([*own, *others]), 0.9).shift
    moved = against_others(group, field([v + by for v in own] + others), 0.9).shift
    turned = against_others(~group, field([*own, *others]), 0.9).shift

    assert moved.value == pytest.approx(here.value + by)
    assert turned.value == pytest.approx(-here.value)
    if here.low is not None and here.high is not None:
        assert here.low <= here.value <= here.high
        assert (turned.low, turned.high) == (-here.high, -here.low)


def test_groups_of_three_are_too_small_for_an_interval_at_ninety_five_per_cent() -> None:
    # The most extreme of 20 orders has a chance of 1/20: two-sided no less than 10 %.
    apart = against_others(first(3, 6), field([7.0, 8, 9, 1, 2, 3]), 0.95)

    assert (apart.shift.value, apart.shift.low, apart.shift.high) == (6.0, None, None)
    assert apart.p == pytest.approx(0.1)


def test_kinds_are_compared_within_themselves() -> None:
    # Better by 1 in either kind, though the group has mostly the kind with low values.
    values, kinds = [2.0, 3, 12, 1, 11, 10, 9], [0, 0, 1, 0, 1, 1, 1]
    group = np.array([True, True, True, False, False, False, False])

    found = against_others(group, field(values, kinds), 0.95)

    # Within kinds 1, 2 (weight 1/4) and 1, 2, 3 (1/5); over all -9, -8, -8, -7, -7, -6, 1, 1, 2 ...
    assert found.shift.value == 2.0
    assert shift_over_all(group, field(values, kinds)) < 0


def test_the_sample_of_reshuffled_machines_is_the_same_always() -> None:
    draws = np.random.default_rng(20310307)
    values, kinds = draws.normal(size=40).tolist(), [i % 3 for i in range(40)]
    group = np.arange(40) % 2 == 0

    one, other = (against_others(group, field(values, kinds), 0.95) for _ in range(2))

    assert one == other


def test_intervals_of_the_shift_cover_what_they_promise() -> None:
    draws = np.random.default_rng(20310302)
    kinds = [0] * 7 + [1] * 8
    group = np.array([True] * 3 + [False] * 4 + [True] * 3 + [False] * 5)
    held = []
    for _ in range(600):
        values = draws.normal(size=15) + 4 * np.array(kinds) + group
        found = against_others(group, MachineField(values, np.array(kinds)), 0.95).shift
        assert found.low is not None
        assert found.high is not None
        held.append(found.low <= 1.0 <= found.high)

    assert np.mean(held) >= 0.95 - 2 * 0.009
