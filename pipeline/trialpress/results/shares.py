"""Series of counts and grades: shares that may scatter more than chance alone.

In:  the cells of a series, values in percent of a number of tries.
Out: the dispersion, the means and all differences, sensible at 0 and 100 % too.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from trialpress.measure.counted import wilson_interval
from trialpress.results.cells import Cell, Means, all_days, all_setups, run_counts
from trialpress.results.days import (
    DaySpread,
    day_weights,
    degrees_of_freedom,
    difference_parts,
    mean_parts,
)
from trialpress.results.separation import Differences, critical_values, in_blocks
from trialpress.results.spread import (
    Floats,
    TooFewRunsError,
    guarded_spread,
    mean_of_runs,
    own_spread,
)


@dataclass(frozen=True)
class Dispersion:
    """How much more runs scatter than tries by themselves would, and its degrees of freedom.

    1 is the scatter of independent tries, which is also the least that is taken.
    """

    factor: float
    df: float


def series_dispersion(cells: Sequence[Cell], day: DaySpread | None = None) -> Dispersion:
    """The dispersion shared by the cells of a series.

    Days and sittings that are told apart are not in it.

    Raises
    ------
    TooFewRunsError
        If no cell has two runs.

    Notes
    -----
    Source: the moment estimate of a quasi-likelihood (McCullagh and Nelder, Generalized Linear
    Models, 4.5), as a ratio of sums, so that cells near 0 and 100 % do not upset it.
    """
    df = sum(cell.n - 1 for cell in cells)
    if df == 0:
        raise TooFewRunsError
    expected = math.fsum((cell.n - 1) * _binomial_variance(cell) for cell in cells)
    if expected == 0:
        return Dispersion(1.0, float(df))
    if day and day.counts:
        by_chance = math.fsum((cell.n - 1) * _variance_by_chance(cell) for cell in cells) / df
        return Dispersion(max(day.run.value / by_chance, 1.0), day.run.df)
    found = math.fsum(_weighted_squares(cell) for cell in cells)
    return Dispersion(max(found / expected, 1.0), float(df))


def share_means(
    cells: Sequence[Cell], dispersion: Dispersion, day: DaySpread, confidence: float
) -> Means:
    """Means of the cells with Wilson's intervals for a number of tries cut by the dispersion.

    What days and sittings bring in joins both halves of the interval, and its degrees of freedom.
    """
    mean = np.array([mean_of_runs(cell.values) for cell in cells])
    tries = _effective_tries(cells, np.full(len(cells), dispersion.factor))
    parts = mean_parts(all_setups(cells), all_days(cells))
    runs_part = _runs_part(mean, tries)
    df = degrees_of_freedom(runs_part + parts.variance(day), runs_part, dispersion.df, parts, day)
    quantile = np.asarray(special.stdtrit(df, (1 + confidence) / 2), dtype=np.float64)
    low, high = wilson_interval(mean / 100 * tries, tries, quantile=quantile)
    day_half = quantile * np.sqrt(parts.variance(day))
    low_half = np.hypot(mean - 100 * low, day_half)
    high_half = np.hypot(100 * high - mean, day_half)
    error = (low_half + high_half) / (2 * quantile)
    return Means(
        mean=mean,
        sd=np.array([own_spread(cell.values) for cell in cells]),
        standard_error=error,
        interval_se=error,
        df=df,
        low=np.maximum(mean - low_half, 0.0),
        high=np.minimum(mean + high_half, 100.0),
    )


def share_spread_of_runs(cells: Sequence[Cell], dispersion: Dispersion) -> Floats:
    """How far a run of each cell scatters, in percent, shape (k,); above 0 at 0 and 100 % too."""
    mean = np.array([mean_of_runs(cell.values) for cell in cells])
    tries = _effective_tries(cells, np.full(len(cells), dispersion.factor)) / run_counts(cells)
    return np.sqrt(_runs_part(mean, tries))


def share_differences(
    cells: Sequence[Cell],
    means: Means,
    dispersion: Dispersion,
    day: DaySpread,
    confidence: float,
) -> Differences:
    """Simultaneous intervals of all differences of shares.

    Each cell brings its guarded spread, the root of a dispersion.

    Notes
    -----
    Source: Newcombe, Stat. Med. 17 (1998) 873, method 10: the ends of Wilson's intervals combined;
    with the critical values of Tukey-Kramer in place of the normal quantile.
    """
    tries = _effective_tries(cells, _guarded_dispersion(cells, dispersion, day))
    weights = day_weights(all_setups(cells), all_days(cells))
    runs_part = _runs_part(means.mean, tries)
    mean, hits = means.mean, means.mean / 100 * tries

    def block(rows: slice) -> Differences:
        parts = difference_parts(weights, rows)
        from_runs = runs_part[rows, None] + runs_part[None, :]
        variance = from_runs + parts.variance(day)
        df = degrees_of_freedom(variance, from_runs, dispersion.df, parts, day)
        critical = critical_values(confidence, len(cells), df)
        own = wilson_interval(hits[rows, None], tries[rows, None], quantile=critical)
        other = wilson_interval(hits[None, :], tries[None, :], quantile=critical)
        day_part = critical**2 * parts.variance(day)
        down = _joined(mean[rows, None] - 100 * own[0], 100 * other[1] - mean, day_part)
        up = _joined(100 * own[1] - mean[rows, None], mean - 100 * other[0], day_part)
        difference = mean[rows, None] - mean[None, :]
        return Differences(difference, difference - down, difference + up)

    return in_blocks(len(cells), block)


def _joined(own: Floats, other: Floats, day_part: Floats) -> Floats:
    return np.asarray(np.sqrt(own**2 + other**2 + day_part))


def _guarded_dispersion(cells: Sequence[Cell], dispersion: Dispersion, day: DaySpread) -> Floats:
    """What cuts the tries of each cell in comparisons, shape (k,); never below that of chance.

    Where days or sittings are told apart a cell's own scatter holds them too, and is left aside.
    """
    if day.counts:
        return np.full(len(cells), dispersion.factor)
    own = np.sqrt([_own_dispersion(cell) for cell in cells])
    return np.maximum(
        guarded_spread(own, run_counts(cells) - 1, math.sqrt(dispersion.factor)) ** 2, 1.0
    )


def _runs_part(mean: Floats, tries: Floats) -> Floats:
    """Variance of means from runs alone, by Wilson's interval: above 0 at 0 and 100 % too."""
    low, high = wilson_interval(mean / 100 * tries, tries, quantile=1.0)
    return np.asarray((50 * (high - low)) ** 2)


def _effective_tries(cells: Sequence[Cell], factor: Floats) -> Floats:
    """Independent tries that would make each mean as sure as it is, shape (k,)."""
    whole = np.array([cell.n**2 / math.fsum(1 / cell.tries) for cell in cells])
    return np.asarray(whole / factor)


def _binomial_variance(cell: Cell) -> float:
    """Variance of one try, as a share, at the mean of the cell."""
    share = mean_of_runs(cell.values) / 100
    return share * (1 - share)


def _variance_by_chance(cell: Cell) -> float:
    """Variance of one run, in percent squared, by the chance of its tries alone."""
    return 1e4 * _binomial_variance(cell) * math.fsum(1 / cell.tries) / cell.n


def _weighted_squares(cell: Cell) -> float:
    mean = mean_of_runs(cell.values)
    return math.fsum(cell.tries * ((cell.values - mean) / 100) ** 2)


def _own_dispersion(cell: Cell) -> float:
    """Dispersion of one cell by itself; NaN for a single run or at 0 and 100 %."""
    expected = (cell.n - 1) * _binomial_variance(cell)
    return _weighted_squares(cell) / expected if expected > 0 else math.nan
