"""Tests and intervals where machines of one maker depend on each other."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.analyses.maker_jackknife import correlation_within, slope_within
from trialpress.analyses.ranks import Floats, deviations, rank_scores
from trialpress.analyses.sign_flips import FEWEST_MAKERS, Compared, sign_flip_p


def compared(values: list[float], makers: list[int], strata: list[int] | None = None) -> Compared:
    kinds = strata or [0] * len(values)
    return Compared(np.array(values, dtype=np.float64), np.array(kinds), np.array(makers))


def column(factor: list[float], machines: Compared) -> Floats:
    return deviations(np.array(factor, dtype=np.float64), machines.strata)[:, None]


def test_six_makers_that_all_say_the_same_are_the_fewest_that_tell() -> None:
    # Pairs of each maker, one with the part and better: all signs alike are 1 of 2^(makers - 1).
    for makers in (FEWEST_MAKERS - 1, FEWEST_MAKERS):
        strata = [maker for maker in range(makers) for _ in range(2)]
        machines = compared([0.0, 1.0] * makers, strata, strata)

        p = sign_flip_p(column([0.0, 1.0] * makers, machines), machines)

        assert p == 2 ** (1 - makers)
        assert (p < 0.05) == (makers >= FEWEST_MAKERS)


def test_many_machines_of_one_maker_are_one_witness() -> None:
    # Twenty machines of one maker are better than twenty of five others.
    values = [float(i) for i in range(40)]
    factor = [0.0] * 20 + [1.0] * 20
    of_one_maker = compared(values, [1 + i % 5 for i in range(20)] + [0] * 20)
    of_many = compared(values, list(range(40)))

    assert sign_flip_p(column(factor, of_one_maker), of_one_maker) >= 2**-5  # six makers
    assert sign_flip_p(column(factor, of_many), of_many) < 0.0001


@given(st.permutations(range(12)), st.permutations(range(6)))
def test_the_order_of_machines_and_the_names_of_makers_count_for_nothing(
    order: list[int], names: list[int]
) -> None:
    values = [3.0, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5, 8]
    factor = [2.0, 7, 1, 8, 2, 8, 1, 8, 2, 8, 4, 5]
    makers = [i % 6 for i in range(12)]
    here = compared(values, makers, [i % 2 for i in range(12)])
    there = compared(
        [values[i] for i in order], [names[makers[i]] for i in order], [i % 2 for i in order]
    )

    p = sign_flip_p(column([factor[i] for i in order], there), there)

    assert p == pytest.approx(sign_flip_p(column(factor, here), here))


def test_a_seeded_sample_of_patterns_gives_the_same_p_always_and_nearly_that_of_all() -> None:
    draws = np.random.default_rng(20310305)
    values, factor = draws.normal(size=(2, 18))
    machines = Compared(values + 0.4 * factor, np.zeros(18, dtype=np.int64), np.arange(18))
    wide = rank_scores(factor, machines.strata)[:, None]

    p = sign_flip_p(wide, machines)

    assert p == sign_flip_p(wide, machines)
    t = np.sum(wide[:, 0] * machines.scores) ** 2
    every = ((np.arange(2**17)[:, None] >> np.arange(18)) & 1) * -2.0 + 1
    flipped = (every @ (wide[:, 0] * machines.scores)) ** 2
    # Without the standard errors of each pattern the share is much the same.
    assert p == pytest.approx(np.mean(flipped >= t - 1e-12), abs=0.03)


def test_a_difference_within_kinds_is_that_of_each_kind_weighed() -> None:
    # Kind 0: (5 + 7)/2 - 4 = 2 over three machines, weight 2/3; kind 1: 10 - 3 = 7, weight 1/2.
    machines = compared([5.0, 7, 4, 10, 3], [0, 1, 2, 0, 1], [0, 0, 0, 1, 1])
    member = np.array([1.0, 1, 0, 1, 0])

    found = slope_within(member, machines.values, machines, 0.95)

    assert found.value == pytest.approx((2 * 2 / 3 + 7 / 2) / (2 / 3 + 1 / 2))


def test_the_interval_leaves_out_one_maker_at_a_time() -> None:
    # Four makers with a pair each, differences 1, 2, 3 and 6: mean 3, and without one of them 11/3,
    # 10/3, 3, 2. CV3: 3/4 (4/9 + 1/9 + 0 + 1) = 7/6; t(.975, 3) = 3.18245.
    pairs = [0, 0, 1, 1, 2, 2, 3, 3]
    machines = compared([0.0, 1, 0, 2, 0, 3, 0, 6], pairs, pairs)

    found = slope_within(np.array([0.0, 1] * 4), machines.values, machines, 0.95)

    assert found.value == pytest.approx(3.0)
    assert found.low == pytest.approx(3 - 3.18245 * np.sqrt(7 / 6), abs=1e-4)
    assert found.high == pytest.approx(3 + 3.18245 * np.sqrt(7 / 6), abs=1e-4)


def test_where_all_rests_on_one_maker_there_is_no_interval() -> None:
    machines = compared([1.0, 2, 3, 4, 5], [0, 1, 2, 3, 3])

    found = slope_within(np.array([0.0, 0, 0, 1, 1]), machines.values, machines, 0.95)

    assert (found.value, found.low, found.high) == (2.5, None, None)


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=5, max_size=12))
def test_a_correlation_lies_within_its_interval_and_turns_with_one_side(
    pairs: list[tuple[int, int]],
) -> None:
    first, second = (np.array(side, dtype=np.float64) for side in zip(*pairs, strict=True))
    if min(np.ptp(first), np.ptp(second)) == 0:
        return
    machines = compared(second.tolist(), [i % 5 for i in range(len(pairs))])
    factor = rank_scores(first, machines.strata)

    found, turned = (
        correlation_within(factor, sign * machines.scores, machines, 0.95) for sign in (1, -1)
    )

    assert turned.value == pytest.approx(-found.value)
    if found.low is not None and found.high is not None:
        assert -1 <= found.low <= found.value <= found.high <= 1


def test_errs_seldom_where_makers_share_half_of_the_variance() -> None:
    # The whole study is tests/audit/association_study.py; here, 400 looks with a fixed seed.
    draws = np.random.default_rng(20310306)
    makers, kinds = np.repeat(np.arange(10), 4), np.tile([0, 1, 1, 2], 10)
    told, held = 0, 0
    for _ in range(400):
        factor, outcome = (
            np.sqrt(0.5) * draws.normal(size=10)[makers] + np.sqrt(0.5) * draws.normal(size=40)
            for _ in range(2)
        )
        machines = Compared(outcome + 3 * kinds, kinds, makers)
        scores = rank_scores(factor, kinds)
        told += sign_flip_p(scores[:, None], machines) <= 0.05
        ends = correlation_within(scores, machines.scores, machines, 0.95)
        held += (ends.low or 0) <= 0 <= (ends.high or 0)

    assert told / 400 <= 0.05 + 2 * 0.011  # two standard errors
    assert held / 400 >= 0.95 - 2 * 0.011
