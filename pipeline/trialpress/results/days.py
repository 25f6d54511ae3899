"""How much results move from one bench day to the next, and from one sitting to the next.

In:  the runs of a series, each with its set-up and its day.
Out: variances of days and of sittings beside the run-to-run variance, or a word why there are none.

A sitting is all runs of one set-up on one day: they share the day with the other set-ups, and
something of their own (set-up x day).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy import special

from trialpress.results.spread import Floats

Integers = NDArray[np.int64]

SMALLEST_APART = 1e-12  # below it, what is left of a difference of sums of squares is noise

SITTING_LEVEL = 0.3
"""Level of the preliminary F test by which sittings are told from runs.

Lower would let sittings through that are there, higher would cost power where there are none:
levels from .25 to .5 are what the literature advises, and ``tests/audit`` has what this one does.
"""


class DayEvidence(StrEnum):
    """What the runs tell about the days.

    ``WITH_SITTINGS``: only the sum of a day's and a sitting's variance is known.
    """

    ONE_DAY = "one day"
    ESTIMATED = "estimated"
    ZERO = "zero"
    WITH_SITTINGS = "with sittings"
    UNKNOWN = "unknown"


class SittingEvidence(StrEnum):
    """What the runs tell about the sittings.

    ``WITH_DAYS``: no two set-ups share enough days, so that only the sum of a day's and a sitting's
    variance is known; it stands as an upper bound for both. ``IN_RUNS``: every sitting is one run.
    ``NOT_CLEAR``: the estimate is above 0, but by no more than runs alone would often make it; it
    counts as 0.
    """

    ONE_DAY = "one day"
    ESTIMATED = "estimated"
    ZERO = "zero"
    NOT_CLEAR = "not clear"
    WITH_DAYS = "with days"
    IN_RUNS = "in runs"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class MeanSquare:
    """A mean square, its degrees of freedom, and how often it holds each variance.

    Its expectation is run variance + ``sittings`` * sitting variance + ``days`` * day variance.
    """

    value: float
    df: float
    sittings: float = 0.0
    days: float = 0.0


NO_SQUARE = MeanSquare(math.nan, 0.0)


@dataclass(frozen=True)
class DaySpread:
    """Variance components of one series.

    ``day_variance`` is that of a day's shift, common to everything run on the day;
    ``sitting_variance`` that of what a set-up's runs of one day have in common beyond it. Each is 0
    where its estimate came out at or below 0 or where there is none. The mean squares they come
    from are kept for the degrees of freedom; ``run`` is that of the runs, NaN where it cannot be
    had or where runs are simply pooled within set-ups.
    """

    evidence: DayEvidence
    sitting_evidence: SittingEvidence
    day_variance: float
    sitting_variance: float
    day: MeanSquare
    sitting: MeanSquare
    run: MeanSquare

    @property
    def counts(self) -> bool:
        """Whether the runs' own spread has to be told apart from days or sittings."""
        return self.day_variance > 0 or self.sitting_variance > 0

    @property
    def tells_sittings(self) -> bool:
        """Whether what a sitting adds could be told from the runs in it, be it anything or not."""
        found = {SittingEvidence.ESTIMATED, SittingEvidence.ZERO, SittingEvidence.NOT_CLEAR}
        return self.sitting_evidence in found

    @property
    def knows_sittings(self) -> bool:
        """Whether what a sitting adds is in the figures, if only as a bound."""
        unknown = {SittingEvidence.ONE_DAY, SittingEvidence.UNKNOWN}
        return self.sitting_evidence not in unknown


def between_day_spread(values: Floats, setups: Integers, days: Integers) -> DaySpread:
    """Estimate the variances of days and sittings of one series.

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
    Source: Henderson's method 3, Biometrics 9 (1953) 226, set-ups fixed, in this order: runs within
    sittings, sittings after set-ups and days, days after set-ups. A negative component is set to
    zero, and that is said. Where an F test at ``SITTING_LEVEL`` does not tell sittings from runs,
    their squares join those of the runs: pooling after a preliminary test (Bancroft, Ann. Math.
    Stat. 15 (1944) 190; the level: Bozivich, Bancroft and Hartley, Ann. Math. Stat. 27 (1956) 1017,
    from memory).
    """
    if days.max() == 0:
        return _without(DayEvidence.ONE_DAY, SittingEvidence.ONE_DAY)
    run, sitting, day = mean_squares(values, setups, days)
    if run.df == 0:  # a sitting is one run: what sittings add is in the runs
        in_runs = SittingEvidence.IN_RUNS
        if day.df == 0 or sitting.df == 0:
            return _without(DayEvidence.UNKNOWN, in_runs)
        rest = MeanSquare(sitting.value, sitting.df)
        return _with_days(MeanSquare(day.value, day.df, 0.0, day.days), NO_SQUARE, rest, in_runs)
    if day.df == 0:
        return _without(DayEvidence.UNKNOWN, SittingEvidence.UNKNOWN)
    if sitting.df == 0:  # days and sittings cannot be told apart: all of it may be sittings
        sum_of_both = max((day.value - run.value) / day.days, 0.0)
        square = MeanSquare(day.value, day.df, day.days)
        with_days = SittingEvidence.WITH_DAYS
        return DaySpread(
            DayEvidence.WITH_SITTINGS, with_days, 0.0, sum_of_both, NO_SQUARE, square, run
        )
    evidence = _evidence_of_sittings(sitting, run)
    if evidence is not SittingEvidence.ESTIMATED:
        run = _together(run, sitting)
    return _with_days(day, sitting, run, evidence)


def _evidence_of_sittings(sitting: MeanSquare, run: MeanSquare) -> SittingEvidence:
    """Whether sittings are told from runs."""
    if sitting.value <= run.value:
        return SittingEvidence.ZERO
    limit = float(special.fdtri(sitting.df, run.df, 1 - SITTING_LEVEL))
    is_clear = sitting.value > limit * run.value
    return SittingEvidence.ESTIMATED if is_clear else SittingEvidence.NOT_CLEAR


def _together(first: MeanSquare, other: MeanSquare) -> MeanSquare:
    """One mean square of two that estimate the same variance."""
    df = first.df + other.df
    return MeanSquare((first.value * first.df + other.value * other.df) / df, df)


def _with_days(
    day: MeanSquare, sitting: MeanSquare, run: MeanSquare, sitting_evidence: SittingEvidence
) -> DaySpread:
    """Both variances, the sittings' first, as days hold them too."""
    of_sitting = 0.0
    if sitting_evidence is SittingEvidence.ESTIMATED:
        of_sitting = (sitting.value - run.value) / sitting.sittings
    of_day = (day.value - run.value - day.sittings * of_sitting) / day.days
    evidence = DayEvidence.ESTIMATED if of_day > 0 else DayEvidence.ZERO
    return DaySpread(evidence, sitting_evidence, max(of_day, 0.0), of_sitting, day, sitting, run)


def mean_squares(
    values: Floats, setups: Integers, days: Integers
) -> tuple[MeanSquare, MeanSquare, MeanSquare]:
    """Mean squares of runs within sittings, of sittings, and of days, with their expectations."""
    keys, sitting_of, runs = np.unique(
        np.stack([setups, days]), axis=1, return_inverse=True, return_counts=True
    )
    sitting_of = sitting_of.ravel()
    centred = values - math.fsum(values) / len(values)
    means = np.bincount(sitting_of, centred) / runs
    layout = _Layout(keys[0], keys[1], runs)
    alone, both = layout.fit_setups(means), layout.fit_both(means)
    within = math.fsum((centred - means[sitting_of]) ** 2)
    of_days = float(np.sum(runs * (1 - alone.leverage)))
    of_sittings = float(np.sum(runs * (1 - both.leverage)))
    df = (len(values) - len(runs), len(runs) - both.rank, both.rank - alone.rank)
    reduction = max(alone.squares - both.squares, 0.0)
    return (
        _mean_square(within, df[0]),
        _mean_square(both.squares, df[1], of_sittings),
        _mean_square(reduction, df[2], of_days - of_sittings * (df[1] > 0), of_days),
    )


def _mean_square(squares: float, df: int, sittings: float = 0.0, days: float = 0.0) -> MeanSquare:
    return MeanSquare(squares / df, float(df), sittings / df, days / df) if df else NO_SQUARE


@dataclass(frozen=True)
class _Fit:
    """A least-squares fit: squares left over, rank, and leverage of each observation."""

    squares: float
    rank: int
    leverage: Floats


@dataclass(frozen=True)
class _Layout:
    """Which set-up sat on which day, and with how many runs; one element a sitting.

    Least-squares fits that weigh sittings by their runs. Set-ups are taken out of the equations by
    their means, so that what is left to solve has the size of the days: time and memory grow with
    sittings, not with the square of set-ups.
    """

    setups: Integers
    days: Integers
    runs: Integers

    def fit_setups(self, means: Floats) -> _Fit:
        """A mean for each set-up."""
        totals = np.bincount(self.setups, self.runs)
        own = np.bincount(self.setups, self.runs * means) / totals
        squares = math.fsum(self.runs * (means - own[self.setups]) ** 2)
        return _Fit(squares, len(totals), np.asarray(self.runs / totals[self.setups]))

    def fit_both(self, means: Floats) -> _Fit:
        """A mean for each set-up and a shift for each day."""
        totals = np.bincount(self.setups, self.runs)
        shares = np.zeros((len(totals), self.days.max() + 1))
        shares[self.setups, self.days] = self.runs / totals[self.setups]
        held = np.diag(np.bincount(self.days, self.runs)) - shares.T @ (totals[:, None] * shares)
        rank = len(held) - self._groups()
        solved = _inverse(held, rank)
        own = np.bincount(self.setups, self.runs * means) / totals
        residual = means - own[self.setups]
        shifts = solved @ np.bincount(self.days, self.runs * residual)
        residual = residual - shifts[self.days] + (shares @ shifts)[self.setups]
        weighed = shares @ solved
        within = np.sum(weighed * shares, axis=1)
        spread = np.diag(solved)[self.days] - 2 * weighed[self.setups, self.days]
        leverage = self.runs * (1 / totals[self.setups] + spread + within[self.setups])
        return _Fit(math.fsum(self.runs * residual**2), len(totals) + rank, leverage)

    def _groups(self) -> int:
        """Number of groups of days that no set-up links with each other."""
        group = np.arange(self.days.max() + 1)
        while True:  # each day takes the lowest number among those that its set-ups reach
            lowest = np.full(self.setups.max() + 1, len(group))
            np.minimum.at(lowest, self.setups, group[self.days])
            joined = group.copy()
            np.minimum.at(joined, self.days, lowest[self.setups])
            if np.array_equal(joined, group):
                return len(np.unique(group))
            group = joined


def _inverse(held: Floats, rank: int) -> Floats:
    """The pseudo-inverse of a symmetric matrix of known rank, no eigenvalue below 0."""
    sizes, vectors = np.linalg.eigh(held)
    base = vectors[:, len(held) - rank :]
    return np.asarray(base / sizes[len(held) - rank :] @ base.T)


def shared_days(weights: Floats, rows: slice = slice(None)) -> Floats:
    """How little some set-ups share their days with every other one, shape (rows, k).

    Element (i, j) is the sum over days of (share of i's runs - share of j's runs) squared: what
    multiplies the day variance in the difference of their means. It is 0 for a set-up and itself.

    Parameters
    ----------
    weights : ndarray, shape (k, d)
        From ``day_weights``.
    rows : slice
        Which of the k set-ups are wanted; all in one piece take much memory where k is large.

    Notes
    -----
    As the sum of squares of both less twice their inner product, which needs no array of k by k by
    days.
    """
    held = np.sum(weights**2, axis=1)
    apart = held[rows, None] + held[None, :] - 2 * (weights[rows] @ weights.T)
    return np.asarray(np.where(apart < SMALLEST_APART, 0.0, apart))


def day_weights(setups: Integers, days: Integers) -> Floats:
    """The share of each set-up's runs on each day, shape (k, d)."""
    shape = setups.max() + 1, days.max() + 1
    runs = np.bincount(setups * shape[1] + days, minlength=math.prod(shape)).reshape(shape)
    return np.asarray(runs / runs.sum(axis=1, keepdims=True))


@dataclass(frozen=True)
class Parts:
    """How often variances of means or differences hold those of sittings and of days."""

    sittings: Floats
    days: Floats

    def variance(self, day: DaySpread) -> Floats:
        """What sittings and days bring in, of the shape of the parts."""
        return self.sittings * day.sitting_variance + self.days * day.day_variance


def mean_parts(setups: Integers, days: Integers) -> Parts:
    """Sittings and days in the mean of each set-up by itself, shapes (k,)."""
    held = np.asarray(np.sum(day_weights(setups, days) ** 2, axis=1))
    return Parts(held, held)


def difference_parts(weights: Floats, rows: slice = slice(None)) -> Parts:
    """Sittings and days in the difference of pairs of means, shapes (rows, k).

    Parameters are those of ``shared_days``.
    """
    held = np.asarray(np.sum(weights**2, axis=1))
    sittings = held[rows, None] + held[None, :]
    numbers = np.arange(len(held))
    sittings[numbers[rows, None] == numbers] = 0.0
    return Parts(sittings, shared_days(weights, rows))


def degrees_of_freedom(
    variance: Floats, runs_part: Floats, runs_df: Floats | float, parts: Parts, day: DaySpread
) -> Floats:
    """Degrees of freedom of variances made of runs, sittings, days and a known rest.

    Parameters
    ----------
    variance, runs_part : ndarray, any one shape
        Whole variance, and its part from runs.
    parts : Parts
        How often it holds the variances of sittings and of days, of that shape.
    runs_df : float or ndarray
        Degrees of freedom of the spread of the runs.
    day : DaySpread
        Where the other parts come from.

    Returns
    -------
    ndarray, of that shape
        At least 1, as a small difference of large mean squares would give less.

    Notes
    -----
    Source: Satterthwaite, Biometrics Bull. 2 (1946) 110. Variances of days and sittings are
    differences of mean squares, so that the mean square of the runs stands in every part.
    """
    if not day.counts:
        with np.errstate(divide="ignore", invalid="ignore"):
            df = runs_df * (variance / runs_part) ** 2
        return np.asarray(np.where(runs_part > 0, df, runs_df))
    per_day, per_sitting = np.zeros_like(variance), np.zeros_like(variance)
    if day.day_variance > 0:
        per_day = parts.days / day.day.days
    if day.sitting_variance > 0:
        per_sitting = (parts.sittings - per_day * day.day.sittings) / day.sitting.sittings
    of_runs = runs_part - (per_day + per_sitting) * day.run.value
    below = of_runs**2 / runs_df
    if day.day_variance > 0:
        below = below + (per_day * day.day.value) ** 2 / day.day.df
    if day.sitting_variance > 0:
        below = below + (per_sitting * day.sitting.value) ** 2 / day.sitting.df
    return np.asarray(np.maximum(variance**2 / below, 1.0))


def _without(evidence: DayEvidence, sittings: SittingEvidence) -> DaySpread:
    return DaySpread(evidence, sittings, 0.0, 0.0, NO_SQUARE, NO_SQUARE, NO_SQUARE)


NO_DAYS = _without(DayEvidence.UNKNOWN, SittingEvidence.UNKNOWN)
"""Of a series whose days were not looked at."""
