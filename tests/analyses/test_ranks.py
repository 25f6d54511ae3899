"""Rank statistics by hand, by brute force, and what must hold for any values."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from trialpress.analyses import ranks

VALUES = st.lists(st.integers(0, 30).map(float), min_size=1, max_size=9)


@pytest.mark.parametrize(("count", "others"), [(1, 1), (2, 3), (4, 4), (5, 3)])
def test_the_distribution_of_u_is_that_of_all_orders(count: int, others: int) -> None:
    total = count + others
    tally = [0] * (count * others + 1)
    for own in combinations(range(total), count):
        tally[sum(own) - count * (count - 1) // 2] += 1

    found = ranks._u_distribution(count, others)

    assert found == pytest.approx([ways / math.comb(total, count) for ways in tally])


@given(VALUES, VALUES)
def test_delta_is_that_of_all_pairs_and_stays_within_its_interval(
    first: list[float], second: list[float]
) -> None:
    found = ranks.cliffs_delta(np.array(first), np.array(second), 0.95)

    wins = sum((a > b) - (a < b) for a in first for b in second)
    assert found.value == pytest.approx(wins / (len(first) * len(second)))
    if found.low is not None and found.high is not None:
        assert -1 <= found.low <= found.value <= found.high <= 1


@given(VALUES, VALUES, st.integers(-50, 50))
def test_a_shift_follows_the_values_and_turns_with_the_groups(
    first: list[float], second: list[float], by: int
) -> None:
    here = ranks.hodges_lehmann(np.array(first), np.array(second), 0.9)
    moved = ranks.hodges_lehmann(np.array(first) + by, np.array(second), 0.9)
    turned = ranks.hodges_lehmann(np.array(second), np.array(first), 0.9)

    assert moved.value == pytest.approx(here.value + by)
    assert turned.value == pytest.approx(-here.value)
    if here.low is not None and here.high is not None:
        assert here.low <= here.value <= here.high
        assert (turned.low, turned.high) == (-here.high, -here.low)


def test_groups_of_three_are_too_small_for_an_interval_at_ninety_five_per_cent() -> None:
    # The most extreme of 20 orders has a chance of 1/20: two-sided no less than 10 %.
    apart = ranks.hodges_lehmann(np.array([7.0, 8.0, 9.0]), np.array([1.0, 2.0, 3.0]), 0.95)

    assert (apart.value, apart.low, apart.high) == (6.0, None, None)


def test_groups_that_do_not_overlap_do_not_make_delta_sure() -> None:
    # Wilson's interval for 3 of 3 starts at 3 / (3 + 1.96^2) = 0.4385; 2 x 0.4385 - 1 = -0.1230.
    found = ranks.cliffs_delta(np.array([7.0, 8.0, 9.0]), np.arange(6.0), 0.95)

    assert (found.value, found.high) == (1, 1)
    assert found.low == pytest.approx(-0.1230, abs=1e-4)


def test_intervals_of_the_shift_cover_what_they_promise() -> None:
    generator = np.random.default_rng(20310302)
    held = []
    for _ in range(1500):
        found = ranks.hodges_lehmann(
            generator.normal(1.0, 1.0, 6), generator.normal(0.0, 1.0, 9), 0.95
        )
        assert found.low is not None
        assert found.high is not None
        held.append(found.low <= 1.0 <= found.high)

    assert np.mean(held) >= 0.94


def test_intervals_of_rho_cover_what_they_promise() -> None:
    # Of a bivariate normal with correlation r, rho is 6/pi asin(r/2) (Kruskal, JASA 53, 1958).
    generator = np.random.default_rng(20310303)
    true = 6 / np.pi * np.arcsin(0.6 / 2)
    held = []
    for _ in range(1000):
        first = generator.normal(size=20)
        second = 0.6 * first + 0.8 * generator.normal(size=20)
        found = ranks.spearman(first, second, 0.95)
        assert found is not None
        assert found.rho.low is not None
        assert found.rho.high is not None
        held.append(found.rho.low <= true <= found.rho.high)

    assert np.mean(held) >= 0.935  # two standard errors below 0.95


def test_intervals_of_delta_cover_what_they_promise() -> None:
    # Of two normals one standard deviation apart: 2 Phi(1 / sqrt 2) - 1.
    generator = np.random.default_rng(20310304)
    true = 2 * stats.norm.cdf(1 / np.sqrt(2)) - 1
    held = []
    for _ in range(1000):
        found = ranks.cliffs_delta(
            generator.normal(1.0, 1.0, 8), generator.normal(0.0, 1.0, 12), 0.95
        )
        assert found.low is not None
        assert found.high is not None
        held.append(found.low <= true <= found.high)

    assert np.mean(held) >= 0.935


@pytest.mark.parametrize("seed", range(5))
def test_the_share_agrees_with_an_independent_noncentral_f(seed: int) -> None:
    generator = np.random.default_rng(seed)
    groups = [generator.normal(shift, 1.0, 8) for shift in (0.0, 1.0, 2.0)]

    found = ranks.kruskal_wallis(groups, 0.95)

    assert found is not None
    f = stats.f_oneway(*np.split(stats.rankdata(np.concatenate(groups)), [8, 16])).statistic
    for end, chance in ((found.share.low, 0.975), (found.share.high, 0.025)):
        assert end is not None
        if 0 < end < 1:
            assert stats.ncf.cdf(f, 2, 21, end * 24 / (1 - end)) == pytest.approx(chance, abs=1e-4)


def test_groups_that_are_all_alike_cannot_be_asked() -> None:
    assert ranks.kruskal_wallis([np.ones(3), np.ones(4)], 0.95) is None
    assert ranks.kruskal_wallis([np.array([1.0]), np.array([2.0])], 0.95) is None


def test_an_effect_from_nothing_is_nothing() -> None:
    found = ranks.kruskal_wallis([np.array([1.0, 4.0]), np.array([2.0, 3.0])], 0.95)

    assert found is not None
    assert (found.statistic, found.share.value, found.share.low) == (0, 0, 0)


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=5, max_size=12))
def test_rho_lies_within_its_interval_and_turns_with_one_side(pairs: list[tuple[int, int]]) -> None:
    first, second = (np.array(side, dtype=np.float64) for side in zip(*pairs, strict=True))

    found, turned = (ranks.spearman(first, sign * second, 0.95) for sign in (1, -1))

    assert (found is None) == (turned is None)
    if found is not None and turned is not None:
        assert turned.rho.value == pytest.approx(-found.rho.value)
        if found.rho.low is not None and found.rho.high is not None:
            assert -1 <= found.rho.low <= found.rho.value <= found.rho.high <= 1


def test_a_perfect_order_of_five_has_a_chance_of_two_in_a_hundred_and_twenty() -> None:
    found = ranks.spearman(np.arange(5.0), np.arange(5.0), 0.95)

    assert found is not None
    assert (found.rho.value, found.rho.low) == (1, None)
    assert found.p == pytest.approx(2 / 120)


def test_four_machines_are_too_few_for_a_correlation() -> None:
    assert ranks.spearman(np.arange(4.0), np.arange(4.0), 0.95) is None


@given(st.lists(st.floats(0, 1), max_size=8))
def test_corrected_p_values_are_no_smaller_and_keep_their_order(p_values: list[float]) -> None:
    corrected = ranks.holm(p_values)

    assert all(after >= before for after, before in zip(corrected, p_values, strict=True))
    assert sorted(corrected) == [
        after for _, after in sorted(zip(p_values, corrected, strict=True))
    ]
