"""Kept rankings, blocks of differences and columns of pairs equal what the long way gives."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from trialpress.results import pairs
from trialpress.results.cells import Cell
from trialpress.results.days import day_weights, difference_parts
from trialpress.results.overall import OverallBy
from trialpress.results.overall_standing import rank_overall
from trialpress.results.pairs import Pairs
from trialpress.results.places import place_range
from trialpress.results.publishing import RankedSetup, SeriesRules
from trialpress.results.ranked import overall_ranked, ranked
from trialpress.results.ranking import Rules, rank
from trialpress.results.rounding import half_even, published
from trialpress.results.separation import (
    Differences,
    Relation,
    critical_values,
    in_blocks,
    relation_of,
    simultaneous_differences,
)
from trialpress.results.studentized_range import studentized_range_quantile

RULES = Rules(higher_is_better=True, confidence=0.95, top_n=3)


def cells_of(count: int, seed: int) -> list[Cell]:
    draws = np.random.default_rng(seed)
    return [
        Cell(
            f"setup-{number}",
            draws.normal(60 + number % 7, 2, 3),
            np.full(3, 0.05),
            np.zeros(3),
            np.array([number // 5, number // 5, count // 5 + number % 4]),
            np.full(3, np.nan),
        )
        for number in range(count)
    ]


CELLS = cells_of(6, seed=1)


def test_a_ranking_is_kept_until_a_run_or_a_rule_differs() -> None:
    first = ranked(CELLS, RULES)

    assert ranked(list(CELLS), replace(RULES)) is first
    assert ranked(CELLS, replace(RULES, top_n=2)) is not first
    corrected = replace(CELLS[0], values=np.array([61.0, 62.0, 63.5]))
    anew = ranked([corrected, *CELLS[1:]], RULES)
    assert anew.means.mean.tolist() == rank([corrected, *CELLS[1:]], RULES).means.mean.tolist()


def test_an_overall_is_kept_until_a_series_in_it_differs() -> None:
    names = {
        cell.setup: RankedSetup(cell.setup, "m", "maker", "robot", cell.setup) for cell in CELLS
    }
    series = SeriesRules("deep", 1, "Deep", "rug", "%", True, 3, 2.0, 1.0, False, True)
    other = replace(series, protocol="noise", weight=0.0)
    worked, twin = (series, rank(CELLS, RULES)), (series, rank(CELLS, RULES))
    noise, more = (other, rank(CELLS, RULES)), (other, rank(CELLS[:4], RULES))

    first = overall_ranked([worked, noise], RULES, names, OverallBy.STEPS)

    assert overall_ranked([twin, more], RULES, names, OverallBy.STEPS) is first
    assert first == rank_overall([worked, noise], RULES, names, OverallBy.STEPS)
    heavier = (replace(series, weight=2.0), worked[1])
    assert overall_ranked([heavier, noise], RULES, names, OverallBy.STEPS) is not first


@pytest.mark.parametrize("few", [0, pairs.FEW_PAIRS])
def test_columns_of_pairs_say_what_each_pair_by_itself_does(
    few: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pairs, "FEW_PAIRS", few)
    ranking = rank(cells_of(9, seed=2), RULES)
    (columns,) = Pairs(ranking, "deep", 1, 1.5, True, 1).frames()
    frame = pd.DataFrame(columns)
    between = ranking.differences

    expected = []
    for i, j in ((i, j) for i in range(9) for j in range(9) if i != j):
        low, high = float(between.low[i, j]), float(between.high[i, j])
        difference = float(between.difference[i, j])
        relation = relation_of(low, high, 1.5, higher_is_better=True)
        is_told = relation in {Relation.BETTER, Relation.WORSE}
        figures = (half_even(difference, 1), published(low, 1), published(high, 1))
        by_less = is_told and abs(difference) < 1.5
        pair = (f"setup-{i}", f"setup-{j}")
        expected.append(("deep", 1, *pair, *figures, relation.value, by_less))
    assert list(frame.itertuples(index=False, name=None)) == expected
    assert pd.notna(frame["low"]).all()


def test_blocks_of_rows_give_what_all_rows_at_once_do() -> None:
    mean = np.random.default_rng(3).normal(60, 4, 300)
    weights = day_weights(np.arange(300).repeat(2), np.arange(600) % 11)

    def block(rows: slice) -> Differences:
        error = np.sqrt(1 + difference_parts(weights, rows).days)
        return simultaneous_differences(mean, error, np.full(error.shape, 3.0), rows)

    whole, parts = block(slice(None)), in_blocks(300, block)

    assert parts.low == pytest.approx(whole.low, rel=1e-12)
    assert parts.high.shape == (300, 300)
    assert [one.tolist() for one in place_range(parts.is_larger)] == [
        one.tolist() for one in place_range(whole.is_larger)
    ]


def test_critical_values_of_an_array_are_those_of_each_number() -> None:
    df = np.array([[2 - 1e-12, 7.9], [np.inf, 0.4]])  # cut to 2, 7, infinity and 1

    critical = critical_values(0.95, 5, df)

    single = [studentized_range_quantile(0.95, 5, v) for v in (2.0, 7.0, np.inf, 1.0)]
    assert critical.ravel() * np.sqrt(2) == pytest.approx(single)
