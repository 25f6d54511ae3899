"""Counts and grades."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from trialpress.results.cells import Cell, all_days, all_setups, all_values
from trialpress.results.days import SittingEvidence, between_day_spread
from trialpress.results.ranking import Rules, rank
from trialpress.results.separation import critical_values
from trialpress.results.shares import series_dispersion, share_means

RULES = Rules(higher_is_better=True, confidence=0.95, top_n=3, is_share=True)


def counted(name: str, hits: Sequence[int], tries: int, days: Sequence[int] | None = None) -> Cell:
    known = np.zeros(len(hits))
    return Cell(
        name,
        100 * np.array(hits) / tries,
        known,
        known,
        np.array(days or [0] * len(hits), dtype=np.int64),
        np.full(len(hits), float(tries)),
    )


def test_runs_that_scatter_like_chance_have_the_dispersion_of_chance() -> None:
    cells = [counted("a", [15, 15, 15], 30), counted("b", [20, 20], 30)]

    assert series_dispersion(cells).factor == 1
    assert series_dispersion(cells).df == 3


def test_the_dispersion_is_the_excess_over_chance() -> None:
    # By hand: shares .4 and .6 of 30: 30 * (.1^2 + .1^2) = .6 against .5 * .5 = .25.
    assert series_dispersion([counted("a", [12, 18], 30)]).factor == pytest.approx(2.4)


def test_a_cell_is_wilsons_interval_of_all_tries_where_runs_scatter_like_chance() -> None:
    cells = [counted("a", [81 // 3] * 3, 90), counted("b", [45] * 3, 90)]
    # statsmodels with the normal quantile replaced by t with 4 degrees of freedom.
    alpha = 2 * stats.norm.sf(stats.t.ppf(0.975, 4))
    low, high = proportion_confint(81, 270, alpha=alpha, method="wilson")

    means = rank(cells, RULES).means

    assert means.low[0] == pytest.approx(100 * low, abs=1e-6)
    assert means.high[0] == pytest.approx(100 * high, abs=1e-6)


def test_differences_are_newcombes_with_our_critical_value() -> None:
    # statsmodels, method "newcomb" (1998, method 10), asked at the level of our critical value.
    cells = [counted("a", [56, 56], 70), counted("b", [48, 48], 70), counted("c", [60, 60], 70)]
    # Runs that agree take nothing off: a share is never surer than its tries.
    critical = float(critical_values(0.95, 3, 3.0))
    low, high = confint_proportions_2indep(
        112, 140, 96, 140, method="newcomb", compare="diff", alpha=2 * stats.norm.sf(critical)
    )

    between = rank(cells, RULES).differences

    assert between.low[0, 1] == pytest.approx(100 * low, abs=1e-6)
    assert between.high[0, 1] == pytest.approx(100 * high, abs=1e-6)


def test_all_hits_and_no_hits_still_have_an_interval() -> None:
    means = rank([counted("all", [30, 30], 30), counted("none", [0, 0], 30)], RULES).means

    assert means.high[0] == pytest.approx(100)
    assert means.low[0] < 100
    assert means.low[1] == pytest.approx(0)
    assert means.high[1] > 0


def test_intervals_cover_where_tries_of_a_run_go_together() -> None:
    # methods.md: three runs of 30 tries, intra-run correlation .05: Wilson over the pooled tries
    # covers 80 %. Here, with eight cells to find the dispersion from, it has to be near 95 %.
    draws = np.random.default_rng(11)
    share, correlation = 0.8, 0.05
    spread = 1 / correlation - 1
    covered = []
    for _ in range(600):
        shares = draws.beta(share * spread, (1 - share) * spread, (8, 3))
        hits = draws.binomial(30, shares)
        cells = [counted(str(i), row.tolist(), 30) for i, row in enumerate(hits)]
        day = between_day_spread(all_values(cells), all_setups(cells), all_days(cells))
        means = share_means(cells, series_dispersion(cells), day, RULES.confidence)
        covered.append(np.mean((means.low <= 100 * share) & (100 * share <= means.high)))

    assert np.mean(covered) == pytest.approx(0.95, abs=0.015)


def test_sittings_that_differ_lower_the_degrees_of_freedom_of_shares() -> None:
    # Four set-ups on the same two days, two runs each; by hand 3 * 1 degrees of freedom between
    # sittings, and a mean over both days holds their mean square alone: it has those 3 at most.
    days = [0, 0, 1, 1]
    hits = ([70, 71, 50, 51], [52, 50, 71, 70], [69, 71, 49, 50], [50, 51, 70, 72])
    cells = [counted(str(i), row, 100, days) for i, row in enumerate(hits)]

    ranking = rank(cells, RULES)

    assert ranking.day.sitting_evidence is SittingEvidence.ESTIMATED
    assert ranking.dispersion is not None
    assert ranking.dispersion.df == 8  # within sittings, and not 12 around the means
    assert np.all(ranking.means.df < 4)
    assert not ranking.differences.is_larger.any()


def test_sittings_are_not_in_the_dispersion_too() -> None:
    # Within sittings runs differ by less than chance: what is left belongs to the sittings.
    days = [0, 0, 1, 1]
    hits = ([70, 71, 50, 51], [52, 50, 71, 70])
    cells = [counted(str(i), row, 100, days) for i, row in enumerate(hits)]

    ranking = rank(cells, RULES)

    assert ranking.dispersion is not None
    assert ranking.dispersion.factor == 1
