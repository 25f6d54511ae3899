"""The weighted geometric mean and its uncertainty."""

from __future__ import annotations

import math

import GTC
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from results.test_ranking import cell
from trialpress.results.overall import Part, overall_mean, weighted_geometric_mean
from trialpress.results.overall_standing import rank_overall
from trialpress.results.publishing import SeriesRules, SetupName
from trialpress.results.ranking import Rules, rank

CARPET = SeriesRules(
    protocol="carpet",
    version=1,
    title="Carpet",
    floor="loop",
    unit="%",
    higher_is_better=True,
    min_runs=2,
    matters=2.0,
    weight=1.0,
    is_share=False,
    is_current=True,
)
positive = st.floats(1, 120)


def part(mean: float, *, weight: float = 1.0, standard_error: float = 1.0, df: float = 9) -> Part:
    return Part(weight, mean, standard_error, df)


def test_the_geometric_mean_of_40_60_and_90_is_60() -> None:
    # methods.md, worked by hand: 40 * 60 * 90 = 60 ** 3.
    assert weighted_geometric_mean([40, 60, 90], [1, 1, 1]) == pytest.approx(60, rel=1e-12)


@given(values=st.lists(st.tuples(positive, st.floats(0.1, 5)), min_size=1, max_size=8))
def test_every_weighted_geometric_mean_agrees_with_scipy(
    values: list[tuple[float, float]],
) -> None:
    numbers, weights = zip(*values, strict=True)

    assert weighted_geometric_mean(numbers, weights) == pytest.approx(
        float(stats.gmean(numbers, weights=weights)), rel=1e-12
    )


def test_a_part_of_zero_makes_the_overall_zero_without_an_interval() -> None:
    mean = overall_mean([part(80.0), part(0.0)])

    assert mean.value == 0
    assert math.isnan(mean.log_se)


@given(values=st.lists(st.tuples(positive, st.floats(0.1, 5)), min_size=1, max_size=6))
def test_its_uncertainty_and_degrees_of_freedom_agree_with_gtc(
    values: list[tuple[float, float]],
) -> None:
    """GTC is an independent library of GUM uncertainty."""
    parts = [
        part(mean, weight=w, standard_error=0.7, df=4 + i) for i, (mean, w) in enumerate(values)
    ]
    total = math.fsum(one.weight for one in parts)
    logs = [
        one.weight / total * GTC.log(GTC.ureal(one.mean, one.standard_error, one.df))
        for one in parts
    ]
    oracle = sum(logs[1:], logs[0])

    mean = overall_mean(parts)

    assert math.log(mean.value) == pytest.approx(GTC.value(oracle), abs=1e-9)
    assert mean.log_se == pytest.approx(GTC.uncertainty(oracle), rel=1e-9)
    assert mean.df == pytest.approx(GTC.dof(oracle), rel=1e-6)


def test_the_interval_is_that_of_the_logarithm() -> None:
    # By hand: one part 50 with a standard error of 5, df 4: t(.975; 4) = 2.776445,
    # factor exp(2.776445 * 0.1) = 1.320017.
    low, high = overall_mean([part(50.0, standard_error=5.0, df=4)]).interval(0.95)

    assert (low, high) == pytest.approx((50 / 1.320017, 50 * 1.320017), rel=1e-6)


def test_a_mean_near_0_leaves_the_overall_without_an_interval() -> None:
    # By hand: the part 0.02 +- 3 has a relative error of 150; any interval spans every power of 10.
    mean = overall_mean([part(80.0), part(0.02, standard_error=3.0)])

    assert mean.value == pytest.approx(math.sqrt(80 * 0.02))
    assert all(math.isnan(end) for end in mean.interval(0.95))


def test_an_overall_without_an_interval_says_why_and_still_has_a_place() -> None:
    runs = {"near 0": [0.01, 0.03], "middling": [40.0, 48.0], "good": [80.0, 88.0]}
    rules = Rules(higher_is_better=True, confidence=0.95, top_n=1)
    ranking = rank([cell(name, *values) for name, values in runs.items()], rules)

    rows, _ = rank_overall(
        [(CARPET, ranking)], rules, {name: SetupName(name, name, "maker", name) for name in runs}
    )

    assert [(row.setup, row.place) for row in rows] == [("good", 1), ("middling", 2), ("near 0", 3)]
    assert [row.low is None for row in rows] == [False, False, True]
    assert rows[2].why == (
        "a mean in one of the protocols is so near to 0 that the overall has no interval"
    )
