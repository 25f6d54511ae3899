"""Series of weighed and measured values: t methods with a guarded, pooled spread.

In:  the cells of a series and what its days tell.
Out: the spread, the means and all differences.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from trialpress.results.cells import Cell, Means, all_days, all_setups, run_counts
from trialpress.results.days import DaySpread, day_weights, mean_day_variance, shared_days
from trialpress.results.interval import mean_interval
from trialpress.results.separation import (
    Differences,
    critical_values,
    simultaneous_differences,
)
from trialpress.results.spread import (
    Floats,
    Spread,
    guarded_spread,
    mean_of_runs,
    own_spread,
    pooled_spread,
)


def series_spread(cells: Sequence[Cell], day: DaySpread) -> Spread:
    """The run-to-run spread of a series, without its days where those are told apart.

    Raises
    ------
    TooFewRunsError
        If no cell has two runs.
    """
    pooled = pooled_spread([cell.values for cell in cells])
    return Spread(math.sqrt(day.run_variance), day.run_df) if day.counts else pooled


def metric_means(cells: Sequence[Cell], spread: Spread, day: DaySpread, confidence: float) -> Means:
    """Means of the cells with the spread they share.

    The scatter of runs already holds the error of reading, which is not added again; but no cell
    is surer than its readings. A cell's interval carries the days it was run on, and what all runs
    on one instrument share, where that is known.
    """
    mean = np.array([mean_of_runs(cell.values) for cell in cells])
    sd = np.array([own_spread(cell.values) for cell in cells])
    guarded = guarded_spread(_own_without_days(cells, sd, day), spread.sd)
    day_part = mean_day_variance(day, all_setups(cells), all_days(cells))
    pooled_error = _not_surer_than_readings(cells, np.full(len(cells), spread.sd))
    error = np.sqrt(pooled_error**2 + day_part)
    shared = np.array([cell.shared_error for cell in cells])
    interval_se = np.hypot(error, shared)
    df = degrees_of_freedom(interval_se**2, pooled_error**2, day_part, spread, day)
    low, high = mean_interval(mean, interval_se, df, confidence)
    standard_error = np.sqrt(_not_surer_than_readings(cells, guarded) ** 2 + day_part)
    return Means(mean, sd, standard_error, interval_se, df, low, high)


def metric_differences(
    cells: Sequence[Cell], means: Means, spread: Spread, day: DaySpread, confidence: float
) -> Differences:
    """Simultaneous intervals of all differences.

    Each cell brings its guarded spread, on the pooled degrees of freedom; set-ups that were not run
    on the same days bring the day variance too.
    """
    guarded = guarded_spread(_own_without_days(cells, means.sd, day), spread.sd)
    from_runs = _not_surer_than_readings(cells, guarded) ** 2
    runs_part = from_runs[:, None] + from_runs[None, :]
    days_apart = shared_days(all_setups(cells), all_days(cells))
    day_part = day.day_variance * days_apart
    variance = runs_part + day_part
    df = degrees_of_freedom(variance, runs_part, day_part, spread, day)
    critical = critical_values(confidence, len(cells), df)
    return simultaneous_differences(means.mean, np.sqrt(variance), critical)


def degrees_of_freedom(
    variance: Floats, runs_part: Floats, day_part: Floats, spread: Spread, day: DaySpread
) -> Floats:
    """Degrees of freedom of variances made of a run part, a day part and a known rest.

    Parameters
    ----------
    variance, runs_part, day_part : ndarray, any one shape
        Whole variance, and its parts from runs and days.
    spread, day : Spread, DaySpread
        Where the parts come from.

    Returns
    -------
    ndarray, of that shape
        At least 1, as a small difference of large mean squares would give less.

    Notes
    -----
    Source: Satterthwaite, Biometrics Bull. 2 (1946) 110. The day variance is a difference of two
    mean squares, so that the run mean square stands in both parts.
    """
    if not day.counts:
        with np.errstate(divide="ignore", invalid="ignore"):
            df = spread.df * (variance / runs_part) ** 2
        return np.asarray(np.where(runs_part > 0, df, spread.df))
    per_mean_square = day_part / day.day_variance / day.runs_per_day
    of_days = per_mean_square * day.day_mean_square
    of_runs = runs_part - per_mean_square * day.run_variance
    df = variance**2 / (of_days**2 / day.day_df + of_runs**2 / spread.df)
    return np.asarray(np.maximum(df, 1.0))


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
