"""Series of weighed and measured values: t methods with a guarded, pooled spread.

In:  the cells of a series and what its days tell.
Out: the spread, the means and all differences.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from scipy import special

from trialpress.results.cells import Cell, Means, all_days, all_setups, run_counts
from trialpress.results.days import (
    DaySpread,
    day_weights,
    degrees_of_freedom,
    difference_parts,
    mean_parts,
)
from trialpress.results.levels import spread_by_level
from trialpress.results.separation import (
    Booleans,
    Differences,
    critical_values,
    in_blocks,
    simultaneous_differences,
)
from trialpress.results.spread import (
    Floats,
    Scatter,
    Spread,
    guarded_spread,
    is_larger,
    mean_of_runs,
    own_spread,
    pooled_spread,
)


def series_spread(cells: Sequence[Cell], day: DaySpread) -> Spread:
    """The run-to-run spread of a series, without its days where those are told apart.

    It follows the level of the cells where it plainly does and no days are told apart.

    Raises
    ------
    TooFewRunsError
        If no cell has two runs.
    """
    pooled = pooled_spread([cell.values for cell in cells])
    if day.counts:
        return Spread(math.sqrt(day.run.value), day.run.df)
    mean = np.array([mean_of_runs(cell.values) for cell in cells])
    return spread_by_level(mean, scatter_of_cells(cells, day)) or pooled


def metric_means(cells: Sequence[Cell], spread: Spread, day: DaySpread, confidence: float) -> Means:
    """Means of the cells with their intervals.

    The scatter of runs already holds the error of reading, which is not added again; but no cell
    is surer than its readings. A cell's interval carries the days and sittings it was run in, what
    all runs on one instrument share where that is known, and its own scatter where that is
    plainly larger than the others'.
    """
    mean = np.array([mean_of_runs(cell.values) for cell in cells])
    sd = np.array([own_spread(cell.values) for cell in cells])
    own = scatter_of_cells(cells, day)
    parts = mean_parts(all_setups(cells), all_days(cells))
    stands_alone = stands_out(own, spread)
    runs_part = _not_surer_than_readings(cells, spread_of_runs(own, spread)) ** 2
    shared = np.array([cell.shared_error for cell in cells])
    interval_se = np.sqrt(runs_part + parts.variance(day) + shared**2)
    runs_df = np.where(stands_alone, own.df, spread.df_of_cells(runs_part))
    df = degrees_of_freedom(interval_se**2, runs_part, runs_df, parts, day)
    low, high = mean_interval(mean, interval_se, df, confidence)
    guarded = _not_surer_than_readings(cells, _guarded(cells, spread, day))
    standard_error = np.sqrt(guarded**2 + parts.variance(day))
    return Means(mean, sd, standard_error, interval_se, df, low, high)


def metric_differences(
    cells: Sequence[Cell], means: Means, spread: Spread, day: DaySpread, confidence: float
) -> Differences:
    """Simultaneous intervals of all differences.

    Each cell brings its guarded spread, on the pooled degrees of freedom, and its sittings; set-ups
    that were not run on the same days bring the day variance too.
    """
    from_runs = _not_surer_than_readings(cells, _guarded(cells, spread, day)) ** 2
    weights = day_weights(all_setups(cells), all_days(cells))

    def block(rows: slice) -> Differences:
        runs_part = from_runs[rows, None] + from_runs[None, :]
        parts = difference_parts(weights, rows)
        variance = runs_part + parts.variance(day)
        df = degrees_of_freedom(
            variance, runs_part, spread.df_of_pairs(from_runs, rows), parts, day
        )
        critical = critical_values(confidence, len(cells), df)
        return simultaneous_differences(means.mean, np.sqrt(variance), critical, rows)

    return in_blocks(len(cells), block)


def scatter_of_cells(cells: Sequence[Cell], day: DaySpread) -> Scatter:
    """How much the runs of each cell scatter by themselves, days and sittings aside.

    Within sittings where those are told apart; else around the cell's mean, less what days are
    expected to add.
    """
    if day.sitting_variance > 0:
        squares = [_squares_within_days(cell) for cell in cells]
        df = np.array([cell.n - len(np.unique(cell.days)) for cell in cells], dtype=np.float64)
        with np.errstate(divide="ignore", invalid="ignore"):
            return Scatter(np.sqrt(np.where(df > 0, squares / df, np.nan)), df)
    sd = np.array([own_spread(cell.values) for cell in cells])
    return Scatter(_own_without_days(cells, sd, day), run_counts(cells) - 1)


def _guarded(cells: Sequence[Cell], spread: Spread, day: DaySpread) -> Floats:
    """The spread that each cell brings into comparisons.

    Where sittings are told apart, runs are many, and sittings rather than runs make up most of a
    difference; there a cell brings its own spread only where it is plainly larger.
    """
    own = scatter_of_cells(cells, day)
    if day.tells_sittings:
        return np.where(stands_out(own, spread), own.sd, spread.sd)
    return guarded_spread(own.sd, own.df, spread.of_cells(len(cells)))


def spread_of_runs(own: Scatter, spread: Spread) -> Floats:
    """The run-to-run spread that the interval of each cell rests on, shape (k,).

    That of the series, at the cell's level where it follows that; the cell's own where it stands
    out.
    """
    return np.where(stands_out(own, spread), own.sd, spread.of_cells(len(own.sd)))


def stands_out(own: Scatter, spread: Spread) -> Booleans:
    """Whether the interval of a cell rests on its own spread, shape (k,)."""
    return is_larger(spread.at_one_level(own.sd), own.df)


def _squares_within_days(cell: Cell) -> float:
    sittings = [cell.values[cell.days == day] for day in np.unique(cell.days)]
    return math.fsum((len(runs) - 1) * own_spread(runs) ** 2 for runs in sittings if len(runs) > 1)


def _not_surer_than_readings(cells: Sequence[Cell], spread: Floats) -> Floats:
    readings = np.array([cell.reading_error for cell in cells])
    return np.asarray(np.fmax(spread / np.sqrt(run_counts(cells)), readings))


def _own_without_days(cells: Sequence[Cell], sd: Floats, day: DaySpread) -> Floats:
    """A cell's own spread, less what days are expected to add to it; NaN for a single run."""
    counts = run_counts(cells)
    weights = day_weights(all_setups(cells), all_days(cells))
    with np.errstate(divide="ignore", invalid="ignore"):
        spread_over_days = counts * (1 - np.sum(weights**2, axis=1)) / (counts - 1)
    return np.asarray(np.sqrt(np.maximum(sd**2 - day.day_variance * spread_over_days, 0.0)))


def mean_interval(
    mean: Floats, standard_error: Floats, df: Floats, confidence: float
) -> tuple[Floats, Floats]:
    """Two-sided t interval of each mean.

    Parameters
    ----------
    mean, standard_error, df : ndarray, shape (k,)
        NaN in, NaN out.
    confidence : float
        Level of each interval by itself, such as 0.95.

    Returns
    -------
    tuple of ndarray, shapes (k,)
        Lower and upper end.

    Notes
    -----
    Source: JCGM 100:2008 (GUM), G.3.
    """
    half = special.stdtrit(df, (1 + confidence) / 2) * standard_error
    return np.asarray(mean - half), np.asarray(mean + half)
