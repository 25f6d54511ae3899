"""How much results move from one bench day to the next.

In:  the runs of a series, each with its set-up and its day.
Out: a between-day variance beside the run-to-run variance, or a word why there is none.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from trialpress.results.spread import Floats

Integers = NDArray[np.int64]


class DayEvidence(StrEnum):
    """What the runs tell about the days."""

    ONE_DAY = "one day"
    ESTIMATED = "estimated"
    ZERO = "zero"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class DaySpread:
    """Variance components of one series.

    ``day_variance`` is that of a day's shift, common to everything run on the day; 0 where the
    estimate came out at or below 0 or where there is none. ``run_variance`` is the run-to-run
    variance with set-ups and days taken out, on ``run_df`` degrees of freedom; NaN where it cannot
    be had. ``day_mean_square`` = run_variance + ``runs_per_day`` * (unbounded) day variance.
    """

    evidence: DayEvidence
    day_variance: float
    day_mean_square: float
    day_df: float
    run_variance: float
    run_df: float
    runs_per_day: float

    @property
    def counts(self) -> bool:
        """Whether differences between days have to carry a variance."""
        return self.evidence is DayEvidence.ESTIMATED


def between_day_spread(values: Floats, setups: Integers, days: Integers) -> DaySpread:
    """Estimate the between-day variance of one series.

    Parameters
    ----------
    values : ndarray, shape (n,)
        Runs, in the protocol's unit.
    setups, days : ndarray of int, shape (n,)
        Index of the set-up and of the day of each run, counted from 0.

    Returns
    -------
    DaySpread
        ``ONE_DAY`` where all runs are of one day; ``UNKNOWN`` where no set-up links the days, or
        no run is left over to tell days from runs; ``ZERO`` where the estimate is not above 0.

    Notes
    -----
    Source: Henderson's method 3, Biometrics 9 (1953) 226: the reduction in squares from days after
    set-ups has the expectation df * run variance + (n - sum of n_id^2 / n_i) * day variance. A
    negative component is set to zero, and that is said.
    """
    centred = values - math.fsum(values) / len(values)
    by_setup, by_day = _indicators(setups), _indicators(days)
    runs = by_setup.T @ by_day
    both = np.hstack([by_setup, by_day])
    rank = int(np.linalg.matrix_rank(both))
    day_df, run_df = rank - by_setup.shape[1], len(values) - rank
    if by_day.shape[1] == 1:
        return _without(DayEvidence.ONE_DAY)
    if day_df == 0 or run_df == 0:
        return _without(DayEvidence.UNKNOWN)
    residual = _residual_squares(both, centred)
    reduction = max(_residual_squares(by_setup, centred) - residual, 0.0)
    divisor = (len(values) - float(np.sum(runs**2 / runs.sum(axis=1, keepdims=True)))) / day_df
    mean_square, run_variance = reduction / day_df, residual / run_df
    variance = (mean_square - run_variance) / divisor
    return DaySpread(
        evidence=DayEvidence.ESTIMATED if variance > 0 else DayEvidence.ZERO,
        day_variance=max(variance, 0.0),
        day_mean_square=mean_square,
        day_df=float(day_df),
        run_variance=run_variance,
        run_df=float(run_df),
        runs_per_day=divisor,
    )


def shared_days(setups: Integers, days: Integers) -> Floats:
    """How little two set-ups share their days, shape (k, k).

    Element (i, j) is the sum over days of (share of i's runs - share of j's runs) squared: what
    multiplies the day variance in the difference of their means. The diagonal is 0.
    """
    weights = day_weights(setups, days)
    return np.asarray(np.sum((weights[:, None, :] - weights[None, :, :]) ** 2, axis=2))


def day_weights(setups: Integers, days: Integers) -> Floats:
    """The share of each set-up's runs on each day, shape (k, d)."""
    runs = _indicators(setups).T @ _indicators(days)
    return np.asarray(runs / runs.sum(axis=1, keepdims=True))


def mean_day_variance(day: DaySpread, setups: Integers, days: Integers) -> Floats:
    """Day variance in the mean of each set-up by itself, shape (k,)."""
    weights = day_weights(setups, days)
    return np.asarray(day.day_variance * np.sum(weights**2, axis=1))


def _indicators(groups: Integers) -> Floats:
    return np.asarray(groups[:, None] == np.arange(groups.max() + 1)[None, :], dtype=np.float64)


def _residual_squares(design: Floats, values: Floats) -> float:
    solution = np.linalg.lstsq(design, values, rcond=None)[0]
    return math.fsum((values - design @ solution) ** 2)


def _without(evidence: DayEvidence) -> DaySpread:
    return DaySpread(evidence, 0.0, math.nan, 0.0, math.nan, 0.0, math.nan)
