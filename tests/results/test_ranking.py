"""Cells and a series worked out."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from trialpress.results.cells import Cell
from trialpress.results.ranking import Rules, rank
from trialpress.results.records import NoResult

HIGHER = Rules(higher_is_better=True, confidence=0.95, top_n=3)
runs = st.lists(st.floats(0, 100), min_size=1, max_size=5)


def cell(name: str, *values: float, u_value: float = 0.0, u_shared: float = 0.0) -> Cell:
    count = len(values)
    return Cell(
        name,
        np.array(values, dtype=np.float64),
        np.full(count, u_value),
        np.full(count, u_shared),
        np.zeros(count, dtype=np.int64),
        np.full(count, np.nan),
    )


def test_a_single_run_borrows_the_spread_of_the_others() -> None:
    # By hand: cells 80 82, 90 94: squares 2 + 8 over 2 degrees of freedom, spread sqrt(5).
    ranking = rank([cell("a", 80, 82), cell("b", 90, 94), cell("c", 70)], HIGHER)

    assert ranking.spread is not None
    assert ranking.spread.sd == pytest.approx(math.sqrt(5))
    assert ranking.means.interval_se == pytest.approx(
        [math.sqrt(5 / 2), math.sqrt(5 / 2), math.sqrt(5)]
    )
    assert math.isnan(ranking.means.sd[2])


def test_a_comparison_brings_the_pooled_spread_or_a_larger_one_moderated_by_it() -> None:
    # By hand, as above: b's own spread sqrt(8) is larger than the pooled sqrt(5), a's is smaller,
    # and c, on one run, has nothing to choose from.
    ranking = rank([cell("a", 80, 82), cell("b", 90, 94), cell("c", 70)], HIGHER)

    assert ranking.means.standard_error == pytest.approx(
        [math.sqrt(5 / 2), math.sqrt((1 * 8 + 0.5 * 5) / 1.5 / 2), math.sqrt(5)]
    )


def test_single_runs_can_be_taken_out_of_every_separation() -> None:
    rules = Rules(higher_is_better=True, confidence=0.95, top_n=3, single_runs_open=True)
    cells = [cell("a", 80, 80.1), cell("b", 10, 10.1), cell("c", 50)]

    ranking = rank(cells, rules)

    assert ranking.place_best.tolist() == [1, 2, 1]
    assert ranking.place_worst.tolist() == [2, 3, 3]


def test_without_a_second_run_anywhere_no_place_is_ruled_out_and_it_is_said() -> None:
    ranking = rank([cell("a", 80), cell("b", 20)], HIGHER)

    assert ranking.why == NoResult.NO_REPEATS
    assert ranking.place_best.tolist() == [1, 1]
    assert ranking.place_worst.tolist() == [2, 2]
    assert np.isnan(ranking.means.low).all()


def test_a_cell_is_never_surer_than_its_readings() -> None:
    ranking = rank([cell("a", 80, 80, u_value=3.0), cell("b", 90, 90, u_value=3.0)], HIGHER)

    assert ranking.means.standard_error == pytest.approx([3 / math.sqrt(2)] * 2)


def test_runs_that_all_agree_without_known_readings_give_no_interval() -> None:
    ranking = rank([cell("a", 80, 80, u_value=math.nan), cell("b", 90, 90)], HIGHER)

    assert ranking.spread is None
    assert ranking.why is not None
    assert ranking.place_worst.tolist() == [2, 2]


def test_what_runs_share_widens_the_interval_but_not_the_comparison() -> None:
    plain = rank([cell("a", 80, 82), cell("b", 90, 94)], HIGHER)
    shared = rank([cell("a", 80, 82, u_shared=2.0), cell("b", 90, 94, u_shared=2.0)], HIGHER)

    assert (shared.means.interval_se > plain.means.interval_se).all()
    assert shared.means.standard_error == pytest.approx(plain.means.standard_error)


def test_lower_is_better_turns_the_places_round() -> None:
    lower = Rules(higher_is_better=False, confidence=0.95, top_n=1)

    ranking = rank([cell("loud", 80, 80.1), cell("quiet", 60, 60.1)], lower)

    assert ranking.place_best.tolist() == [2, 1]
    assert ranking.chance_top[1] > 0.99


@given(groups=st.lists(runs, min_size=1, max_size=6))
def test_no_series_ever_gives_a_place_outside_its_set_ups(groups: list[list[float]]) -> None:
    ranking = rank([cell(str(i), *group) for i, group in enumerate(groups)], HIGHER)

    assert (ranking.place_best >= 1).all()
    assert (ranking.place_worst <= len(groups)).all()
    assert (ranking.place_best <= ranking.place_worst).all()
    assert np.isfinite(ranking.means.mean).all()


@given(groups=st.lists(runs.filter(lambda group: len(group) > 1), min_size=2, max_size=6))
def test_each_interval_is_the_t_interval_of_scipy_with_the_pooled_or_its_own_spread(
    groups: list[list[float]],
) -> None:
    ranking = rank([cell(str(i), *group) for i, group in enumerate(groups)], HIGHER)
    if ranking.spread is None or ranking.spread.sd == 0:
        return
    dfs = np.array([len(group) - 1 for group in groups])
    squares = np.array([float(np.var(group, ddof=1)) for group in groups]) * dfs
    for i, group in enumerate(groups):
        others_df = int(dfs.sum() - dfs[i])
        others = float(squares.sum() - squares[i]) / others_df
        own, pooled = squares[i] / dfs[i], squares.sum() / dfs.sum()
        limit = others * stats.f.ppf(0.8, dfs[i], others_df)
        if own == pytest.approx(limit) or min(own, others) < 1e-9 < max(own, others):
            continue  # which spread it is hangs on a last binary digit
        variance, df = (own, dfs[i]) if own > limit else (pooled, dfs.sum())
        error = math.sqrt(variance / len(group))
        low, high = stats.t.interval(0.95, df, np.mean(group), error)
        assert ranking.means.low[i] == pytest.approx(low, abs=1e-6)
        assert ranking.means.high[i] == pytest.approx(high, abs=1e-6)


def test_ends_are_cut_at_what_values_cannot_pass_and_means_are_not() -> None:
    cells = [cell("a", 99.9, 98.0, 99.7), cell("b", 97.0, 99.5, 99.9), cell("c", 2.0, 0.1, 0.2)]
    free, bound = rank(cells, HIGHER), rank(cells, replace(HIGHER, lowest=0.0, highest=100.0))

    assert free.means.high[:2].min() > 100
    assert free.means.low[2] < 0
    assert bound.means.high[:2].tolist() == [100, 100]
    assert bound.means.low[2] == 0
    assert bound.means.mean.tolist() == free.means.mean.tolist()
    assert bound.differences.high.tolist() == free.differences.high.tolist()
