"""The weighted geometric mean and its uncertainty."""

from __future__ import annotations

import math
from dataclasses import replace

import GTC
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from results.test_ranking import cell
from trialpress.results.overall import (
    OverallBy,
    Part,
    overall_mean,
    say_of_series,
    weighted_geometric_mean,
)
from trialpress.results.overall_standing import rank_overall
from trialpress.results.publishing import RankedSetup, SeriesRules
from trialpress.results.ranking import Ranking, Rules, rank
from trialpress.results.records import OverallRow

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
RULES = Rules(higher_is_better=True, confidence=0.95, top_n=1)
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
    assert math.isnan(mean.error)


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
    assert mean.error == pytest.approx(GTC.uncertainty(oracle), rel=1e-9)
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

    rows = rows_by(OverallBy.RATIO, [(CARPET, ranking)], rules)

    assert [(row.setup, row.place) for row in rows] == [("good", 1), ("middling", 2), ("near 0", 3)]
    assert [row.low is None for row in rows] == [False, False, True]
    assert rows[2].why == "mean-near-0"


def test_steps_are_counted_from_the_median_in_any_unit_and_direction() -> None:
    # By hand, weights 1 and 3. Carpet, 2 % matter, median 66: a (70 - 66) / 2 = 2, b 0, c -3.
    # Noise, lower is better, 4 dB matter, median 62: a (62 - 62) / -4 = 0, b 2, c -1.
    noise = replace(CARPET, protocol="noise", unit="dB", higher_is_better=False, matters=4.0)
    worked = [
        (CARPET, ranked({"a": [69, 71], "b": [65, 67], "c": [59, 61]}, higher=True)),
        (replace(noise, weight=3.0), ranked({"a": [61, 63], "b": [53, 55], "c": [65, 67]})),
    ]

    rows = rows_by(OverallBy.STEPS, worked)

    assert {row.setup: row.value for row in rows} == {"a": 0.5, "b": 1.5, "c": -1.5}
    assert [row.ranks for row in rows] == [True] * 3
    assert {row.setup for row in rows_by(OverallBy.RATIO, worked) if row.complete} == {*"abc"}


def test_steps_have_the_standard_error_that_the_gum_gives_them() -> None:
    parts = [part(72, standard_error=1.0, df=4), part(58, weight=3, standard_error=2.0, df=9)]
    steps = [parts[0].in_steps(66, 2.0), parts[1].in_steps(62, -4.0)]
    oracle = (
        (GTC.ureal(72, 1.0, 4) - 66) / 2 + 3 * (GTC.ureal(58, 2.0, 9) - 62) / -4
    ) / 4  # GTC is an independent library of GUM uncertainty.

    mean = overall_mean(steps, OverallBy.STEPS)

    assert mean.value == pytest.approx(GTC.value(oracle))
    assert mean.error == pytest.approx(GTC.uncertainty(oracle))
    assert mean.df == pytest.approx(GTC.dof(oracle))


def test_days_that_all_share_fall_out_of_the_overall_s_places() -> None:
    """Three set-ups on the same three days, whose shifts are far larger than their differences."""
    shifts = np.array([0.0, 0.0, 9.0, 9.0, -8.0, -8.0])
    noise = np.array([0.4, -0.4, 0.3, -0.2, 0.1, -0.3])
    days = np.array([0, 0, 1, 1, 2, 2])
    cells = [
        replace(cell(name, *(level + shifts + noise[order])), days=days)
        for name, level, order in (
            ("a", 66.0, [0, 1, 2, 3, 4, 5]),
            ("b", 60.0, [3, 5, 0, 1, 2, 4]),
            ("c", 54.0, [4, 2, 5, 0, 3, 1]),
        )
    ]

    rows = rows_by(OverallBy.STEPS, [(CARPET, rank(cells, RULES))])

    assert [(row.place_best, row.place_worst) for row in rows] == [(1, 1), (2, 2), (3, 3)]
    assert rows[0].high is not None
    assert rows[1].value is not None
    assert rows[0].high > rows[1].value  # the intervals by themselves carry the days


def test_how_much_each_series_decides_adds_up_and_agrees_with_numpy() -> None:
    scores = np.random.default_rng(11).normal(0, [[3.0], [1.0], [0.2]], (3, 9))
    weights = [1.0, 2.0, 1.0]
    whole = np.average(scores, axis=0, weights=weights)

    found = say_of_series(dict(zip("abc", scores, strict=True)), weights)

    assert sum(one.share for one in found.values()) == pytest.approx(1)
    for name, weight, own in zip("abc", weights, scores, strict=True):
        assert found[name].share == pytest.approx(
            weight / 4 * np.cov(own, whole)[0, 1] / np.var(whole, ddof=1)
        )
        assert found[name].correlation == pytest.approx(np.corrcoef(own, whole)[0, 1])


def ranked(runs: dict[str, list[float]], *, higher: bool = False) -> Ranking:
    rules = replace(RULES, higher_is_better=higher)
    return rank([cell(name, *values) for name, values in runs.items()], rules)


def rows_by(
    by: OverallBy, worked: list[tuple[SeriesRules, Ranking]], rules: Rules | None = None
) -> list[OverallRow]:
    setups = {one.setup for _, ranking in worked for one in ranking.cells}
    names = {name: RankedSetup(name, name, "maker", "stick", name) for name in setups}
    found = rank_overall(worked, rules or RULES, names, OverallBy.STEPS)
    return [row for row in found.rows if row.by == by]


def test_the_spread_over_floors_is_that_of_the_logarithms_in_percent() -> None:
    # By hand: logarithms of a 2 x 3 table without kinds, all of whose runs agree but for a hair.
    # Differences of the rows are 0.3, 0 and -0.3 around their mean: a residual mean square of
    # (0.09 + 0 + 0.09) / 2 / 2 = 0.045, a standard deviation of 21.2 %.
    worked = [
        (
            replace(CARPET, protocol=floor, floor=floor),
            ranked({name: [value - hair, value + hair] for name, value in means.items()}),
        )
        for floor, means in {
            "loop": {"a": 60 * math.exp(0.3), "b": 60.0},
            "pile": {"a": 70.0, "b": 70.0},
            "mat": {"a": 50.0, "b": 50 * math.exp(0.3)},
        }.items()
        for hair in [1e-4]
    ]
    names = {name: RankedSetup(name, name, "maker", "stick", name) for name in "ab"}

    scopes = rank_overall(worked, RULES, names, OverallBy.RATIO).scopes

    told = {(scope.by, scope.scope): scope.interaction_pct for scope in scopes}
    assert told["ratio", "floors like these"] == 21.2


def test_an_overall_is_marked_where_one_of_its_series_is_in_one_sitting() -> None:
    # ``cell`` puts all runs on one day; where one set-up was run on two, what a day or a sitting
    # adds is in the figures, and no mark is needed.
    one_day = rank([cell("a", 80, 82), cell("b", 90, 94)], RULES)
    two_days = rank([replace(cell("a", 80, 82), days=np.array([0, 1])), cell("b", 90, 94)], RULES)
    hair = replace(CARPET, protocol="hair")

    for second, is_marked in ((one_day, True), (two_days, False)):
        rows = rows_by(OverallBy.RATIO, [(CARPET, two_days), (hair, second)])
        assert [row.one_sitting for row in rows] == [is_marked, is_marked]
