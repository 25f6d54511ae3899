"""Series of shapes and sizes that no bench should have: figures, or a word why there are none."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examples import examples
from trialpress.results.cells import Cell
from trialpress.results.ranking import Ranking, Rules, rank
from trialpress.results.records import NoResult
from trialpress.view.terms import WHY

MEASURED = Rules(higher_is_better=True, confidence=0.95, top_n=3)
SHARES = Rules(
    higher_is_better=True, confidence=0.95, top_n=3, is_share=True, lowest=0.0, highest=100.0
)

awkward = st.one_of(
    st.sampled_from([0.0, 5.0, 5.0000001, -5.0, 0.1, 0.3, 1e-12, 1e9]),
    st.floats(-100, 100, allow_subnormal=False).map(lambda value: round(value, 1)),
)
sizes = st.sampled_from([1.0] * 9 + [1e-170, 1e-77, 1e-59, 1e59, 1e77, 1e154, 1e170])
days = st.integers(0, 3)


def cell(number: int, runs: Sequence[tuple[float, int]], size: float, error: float) -> Cell:
    count = len(runs)
    return Cell(
        f"{number}",
        np.array([value for value, _ in runs]) * size,
        np.full(count, error * size),
        np.full(count, np.nan),
        np.array([day for _, day in runs], dtype=np.int64),
        np.full(count, np.nan),
    )


def share(number: int, runs: Sequence[tuple[float, int]], tries: int) -> Cell:
    plain = cell(number, runs, 1.0, 0.0)
    hits = np.round(np.clip(np.abs(plain.values), 0, 100) / 100 * tries)
    return Cell(
        plain.setup,
        100 * hits / tries,
        plain.u_value,
        plain.u_shared,
        plain.days,
        np.full(plain.n, tries),
    )


def holds(ranking: Ranking) -> None:
    """Every figure is a number in order, or none is and it is said why."""
    count, means, chance = len(ranking.cells), ranking.means, ranking.chance_top
    assert (ranking.place_best >= 1).all()
    assert (ranking.place_best <= ranking.place_worst).all()
    assert (ranking.place_worst <= count).all()
    assert np.isfinite(means.mean).all()
    if ranking.why is not None:
        assert WHY[ranking.why]
        assert np.isnan([means.interval_se, means.low, means.high, chance]).all()
        assert np.isnan(ranking.differences.low).all()
        assert (ranking.place_worst == count).all()
        return
    assert (means.low <= means.high).all()
    assert (means.interval_se > 0).all()
    assert (means.df >= 1).all()
    assert (ranking.differences.low <= ranking.differences.high).all()
    assert ((chance >= 0) & (chance <= 1)).all()
    assert chance.sum() == pytest.approx(min(ranking.rules.top_n, count), abs=0.02)


groups = st.lists(
    st.lists(st.tuples(awkward, days), min_size=1, max_size=5), min_size=1, max_size=7
)


@settings(max_examples=examples(10))
@given(groups=groups, size=sizes, error=st.sampled_from([0.0, 0.01, np.nan]))
def test_measured_series_have_figures_or_a_word(
    groups: list[list[tuple[float, int]]], size: float, error: float
) -> None:
    holds(rank([cell(i, runs, size, error) for i, runs in enumerate(groups)], MEASURED))


@settings(max_examples=examples(6))
@given(groups=groups, tries=st.sampled_from([1, 2, 30, 1_000_000]))
def test_series_of_shares_have_figures_or_a_word(
    groups: list[list[tuple[float, int]]], tries: int
) -> None:
    holds(rank([share(i, runs, tries) for i, runs in enumerate(groups)], SHARES))


def test_sizes_beyond_reckoning_are_named_and_those_within_do_not_matter() -> None:
    runs = [[(10.0 + i + j % 2, j // 2) for j in range(4)] for i in range(3)]
    plain = rank([cell(i, one, 1.0, 0.01) for i, one in enumerate(runs)], MEASURED)

    for size in (2.0**-180, 2.0**180):
        scaled = rank([cell(i, one, size, 0.01) for i, one in enumerate(runs)], MEASURED)
        assert scaled.means.low == pytest.approx(plain.means.low * size, rel=1e-12)
        assert scaled.chance_top == pytest.approx(plain.chance_top, abs=1e-9)
    for size in (1e-170, 1e170):
        beyond = rank([cell(i, one, size, 0.01) for i, one in enumerate(runs)], MEASURED)
        assert beyond.why == NoResult.OUT_OF_RANGE


def test_runs_that_days_explain_wholly_are_not_taken_for_sure() -> None:
    # What binary rounding leaves of the squares is not a spread.
    explained = [[(5.1 + i / 10, 0), (7.3 + i / 10, 1)] for i in range(4)]

    ranking = rank([cell(i, runs, 1.0, np.nan) for i, runs in enumerate(explained)], MEASURED)

    assert ranking.why == NoResult.ALL_ALIKE


def test_large_values_with_small_scatter_keep_their_digits() -> None:
    runs = [[(float(3 * i + j), 0) for j in range(3)] for i in range(4)]
    near = rank([cell(i, one, 1.0, 0.0) for i, one in enumerate(runs)], MEASURED)
    far = [[(value + 1e9, day) for value, day in one] for one in runs]

    away = rank([cell(i, one, 1.0, 0.0) for i, one in enumerate(far)], MEASURED)

    assert away.chance_top == pytest.approx(near.chance_top, abs=1e-6)
    assert away.means.interval_se == pytest.approx(near.means.interval_se)
