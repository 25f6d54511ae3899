"""How likely a plan is to tell two set-ups apart."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from trialpress.results.assurance import Bout, Evenings, Side, assurance, runs_to_separate
from trialpress.results.cells import Cell
from trialpress.results.days import (
    NO_SQUARE,
    DayEvidence,
    DaySpread,
    MeanSquare,
    SittingEvidence,
    between_day_spread,
)
from trialpress.results.metric import metric_differences, metric_means, series_spread
from trialpress.results.spread import Spread

NO_DAYS = DaySpread(
    DayEvidence.ONE_DAY, SittingEvidence.ONE_DAY, 0.0, 0.0, NO_SQUARE, NO_SQUARE, NO_SQUARE
)
BEGINS = Side(0, Spread(math.nan, 0.0), 0.0)


def supposed(difference: float, *, other_df: float = 0.0, count: int = 2) -> Bout:
    return Bout(
        difference,
        (BEGINS, BEGINS),
        Spread(1.0, other_df),
        NO_DAYS,
        0.0,
        count,
        0.95,
        is_guarded=count > 2,
        is_supposed=True,
    )


def so_far(difference: float, runs: int, *, df: float = 12.0, count: int = 8) -> Bout:
    """Two set-ups with runs of one evening, in a series of known spread 1."""
    side = Side(runs, Spread(1.0, runs - 1.0), 1.0)
    return Bout(difference, (side, side), Spread(1.0, df), NO_DAYS, 0.0, count, 0.95)


def with_sittings(bout: Bout, variance: float, df: float = 14.0) -> Bout:
    """Sittings of three runs that add a variance, known on some degrees of freedom."""
    square = MeanSquare(1.0 + 3 * variance, df, 3.0)
    run = MeanSquare(1.0, bout.spread.df)
    day = DaySpread(
        DayEvidence.ZERO, SittingEvidence.ESTIMATED, 0.0, variance, NO_SQUARE, square, run
    )
    return replace(bout, day=day)


def test_a_difference_that_is_supposed_has_the_power_of_the_t_test() -> None:
    # R power.t.test, statsmodels agrees (methods.md): n 20, shift 1 sigma: .8689528.
    assert assurance(supposed(1.0), Evenings(20, 1)) == pytest.approx(0.8689528, abs=0.012)


@pytest.mark.parametrize(
    ("shift", "runs", "power"),
    [
        # methods.md, computed: runs for .80 / .90 at shifts of 1.5, 2 and 3 sigma. These are not
        # whole numbers, so the power of the next whole number must pass, of the one before fail.
        (1.5, 8.06, 0.80),
        (1.5, 10.40, 0.90),
        (2.0, 5.09, 0.80),
        (2.0, 6.39, 0.90),
        (3.0, 3.07, 0.80),
        (3.0, 3.62, 0.90),
    ],
)
def test_runs_for_a_power_are_those_of_the_t_test(shift: float, runs: float, power: float) -> None:
    assert assurance(supposed(shift), Evenings(math.ceil(runs), 1)) > power
    assert assurance(supposed(shift), Evenings(math.floor(runs), 1)) < power


def test_eight_set_ups_of_three_runs_have_the_power_of_the_study() -> None:
    # By the study when its power was read at 3.5 spreads: 65.5 %.
    found = assurance(supposed(3.5, other_df=12, count=8), Evenings(3, 1))

    assert found == pytest.approx(0.655, abs=0.02)


def test_where_the_spread_is_known_assurance_is_a_normal_probability() -> None:
    # Spiegelhalter, Freedman and Parmar (1994): what is still to come moves the difference by a
    # normal deviate whose variance is that of now less that of the end; by hand with scipy.
    bout = replace(so_far(1.2, 4, df=math.inf, count=2), is_guarded=False)
    now, end = 2 / 4, 2 / (4 + 6)
    limit, moves = stats.norm.ppf(0.975) * math.sqrt(end), math.sqrt(now - end)
    expected = stats.norm.sf((limit - 1.2) / moves) + stats.norm.cdf((-limit - 1.2) / moves)

    assert assurance(bout, Evenings(6, 1)) == pytest.approx(expected, abs=0.012)


def test_assurance_is_how_often_whole_benches_drawn_anew_tell_the_two_apart() -> None:
    # Not the module's own arithmetic: benches whose runs so far give just this difference and this
    # pooled spread are carried on, from a truth that such runs leave open, and worked out by the
    # rule of the standings. Eight set-ups, three runs each, then five more of the first two.
    draws, times, told = np.random.default_rng(3), 1200, 0
    for _ in range(times):
        sigma = math.sqrt(16 / draws.chisquare(16))
        runs = _with_spread_of_one(draws.normal(size=(8, 3)))
        runs[0] += 2.0
        true = runs[:2].mean(axis=1) + draws.normal(0, sigma / math.sqrt(3), 2)
        more = draws.normal(0, sigma, (2, 5)) + true[:, None]
        cells = [_cell(np.concatenate([runs[k], more[k]])) for k in (0, 1)]
        cells += [_cell(values) for values in runs[2:]]
        spread = series_spread(cells, NO_DAYS)
        means = metric_means(cells, spread, NO_DAYS, 0.95)
        between = metric_differences(cells, means, spread, NO_DAYS, 0.95)
        told += not between.low[0, 1] <= 0 <= between.high[0, 1]

    found = assurance(so_far(2.0, 3, df=16.0), Evenings(5, 1))
    assert found == pytest.approx(told / times, abs=4 * math.sqrt(0.25 / times))


def _with_spread_of_one(runs: NDArray[np.float64]) -> NDArray[np.float64]:
    """Runs of eight set-ups whose means are 0 and whose pooled spread is 1."""
    around = runs - runs.mean(axis=1, keepdims=True)
    return np.asarray(around / math.sqrt((around**2).sum() / 16))


def _cell(values: NDArray[np.float64]) -> Cell:
    n = len(values)
    unknown, day = np.full(n, np.nan), np.zeros(n, dtype=np.int64)
    return Cell("", values, unknown, unknown, day, unknown)


def test_assurance_grows_with_runs_and_shrinks_with_the_number_compared() -> None:
    told = [assurance(so_far(2.0, 3), Evenings(runs, 1)) for runs in (1, 3, 8, 20)]

    assert told == sorted(told)
    assert assurance(so_far(2.0, 3, count=45), Evenings(8, 1)) < told[2]


def test_runs_on_more_evenings_help_where_sittings_differ_and_only_there() -> None:
    alike, apart = so_far(2.0, 3), with_sittings(so_far(2.0, 3), 1.0)

    gain = [assurance(apart, Evenings(6, evenings)) for evenings in (1, 2, 3, 6)]
    assert gain == sorted(gain)
    assert gain[-1] > gain[0] + 0.1
    same = [assurance(alike, Evenings(6, evenings)) for evenings in (1, 6)]
    assert same[0] == pytest.approx(same[1], abs=0.02)


def test_an_uncertain_difference_is_less_sure_to_be_told_than_one_supposed() -> None:
    # The same eight runs in the end: half of them made already, or all of them still to make.
    known = assurance(supposed(2.5, other_df=12, count=8), Evenings(8, 1))

    assert known > 0.8
    assert assurance(so_far(2.5, 4), Evenings(4, 1)) < known


def test_set_ups_far_apart_need_no_more_runs_and_equal_ones_more_than_are_worth_it() -> None:
    assert runs_to_separate(so_far(20.0, 3), 1) == 0
    assert runs_to_separate(so_far(0.0, 3), 1) is None


def test_the_number_told_gives_the_assurance_and_one_less_does_not() -> None:
    bout = so_far(2.5, 3)

    more = runs_to_separate(bout, 3)

    assert more is not None
    assert more > 3
    assert assurance(bout, Evenings(more, 3)) >= 0.8
    assert assurance(bout, Evenings(more - 1, 3)) < 0.8


def test_days_of_a_bench_can_be_planned_with() -> None:
    values = np.random.default_rng(1).normal(size=27)
    setups, days = np.repeat([0, 1, 2], 9), np.tile(np.repeat([0, 1, 2], 3), 3)
    day = between_day_spread(values, setups, days)
    side = Side(9, Spread(1.0, 8.0), 1 / 3)
    bout = Bout(1.0, (side, side), Spread(1.0, 18.0), day, 0.0, 3, 0.95)

    assert 0 <= assurance(bout, Evenings(3, 3)) <= 1
