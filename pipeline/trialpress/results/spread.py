"""How much runs of one set-up differ from each other.

In:  the values of each cell of a series.
Out: a standard deviation and the degrees of freedom it rests on.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np
from numpy.typing import NDArray
from scipy import special

from trialpress.results.records import NoResult

Floats = NDArray[np.float64]

GUARD_FACTOR = 0.96
FEW_SETUPS, MANY_SETUPS = 8, 45
"""``guard_factor`` is ``GUARD_FACTOR`` up to the one number, and 1 from the other on."""

OWN_LEVEL = 0.2
"""Chance of a cell's interval to rest on its own spread where all spreads are equal.

The level of a preliminary test, which the literature wants well above .05 (Bancroft, Biometrics 20
(1964) 427, from memory): .1 leaves the noisiest of eight with a threefold range covered in 89 %,
.25 makes intervals of equals cover 96.3; ``tests/audit`` has what this one does.
"""


class TooFewRunsError(ValueError):
    """No set-up of the series has two runs, so that no spread can be had."""

    def __init__(self) -> None:
        super().__init__(NoResult.NO_REPEATS)


@dataclass(frozen=True)
class Spread:
    """A run-to-run standard deviation, in the protocol's unit, and its degrees of freedom."""

    sd: float
    df: float

    def of_cells(self, count: int) -> Floats:
        """The spread of each of so many cells: the same for all."""
        return np.full(count, self.sd)

    def at_one_level(self, own: Floats) -> Floats:
        """Spreads of cells by themselves, shape (k,), less what the level makes of them."""
        return own

    def df_of_cells(self, variance: Floats) -> Floats:
        """Degrees of freedom of what each cell's spread brings into the variance of its mean."""
        return np.full(len(variance), self.df)

    def df_of_pairs(self, variance: Floats, rows: slice) -> Floats:  # noqa: ARG002  the same for all
        """The same of the sum of what every two cells bring in, those of ``rows`` first."""
        return np.asarray(self.df)


@dataclass(frozen=True)
class Scatter:
    """Run-to-run standard deviation of each cell by itself, shape (k,), NaN where df is 0."""

    sd: Floats
    df: Floats


def mean_of_runs(values: Floats) -> float:
    """Arithmetic mean, the same whatever the order of the runs."""
    return math.fsum(values) / len(values)


def own_spread(values: Floats) -> float:
    """Standard deviation of the runs of one cell, NaN for a single run."""
    if len(values) < 2:  # noqa: PLR2004  two runs have one degree of freedom
        return math.nan
    return math.hypot(*_deviations(values)) / math.sqrt(len(values) - 1)


def pooled_spread(values: Sequence[Floats]) -> Spread:
    """Run-to-run standard deviation shared by all cells of one series.

    Parameters
    ----------
    values : sequence of ndarray, shapes (n_i,)
        Valid runs of each cell, in the protocol's unit; cells with one run add nothing.

    Returns
    -------
    Spread
        Standard deviation (same unit) and its degrees of freedom, the sum of (n_i - 1).

    Raises
    ------
    TooFewRunsError
        If no cell has two runs.

    Notes
    -----
    Source: ISO 5725-2, repeatability variance. Squares are taken around each mean, never as a
    difference of sums: the short cut loses the digits of the certified data sets. ``hypot`` scales
    before it squares.
    """
    df = sum(len(runs) - 1 for runs in values)
    if df == 0:
        raise TooFewRunsError
    size = math.hypot(*chain.from_iterable(_deviations(runs) for runs in values))
    return Spread(size / math.sqrt(df), float(df))


def guard_factor(setups: int) -> float:
    """What a spread is multiplied with where it is the larger of own and pooled.

    Taking the larger of two makes intervals too wide by itself; the factor gives part of that back
    to few set-ups, and less the more there are, as the noisiest of many errs more often. Found by
    simulation; ``tests/audit`` repeats the study, and its table is the evidence.
    """
    beyond = math.log(max(setups, FEW_SETUPS) / FEW_SETUPS) / math.log(MANY_SETUPS / FEW_SETUPS)
    return min(1.0, GUARD_FACTOR + (1 - GUARD_FACTOR) * beyond)


def guarded_spread(own: Floats, pooled: Floats | float, setups: int | None = None) -> Floats:
    """The spread that comparisons use: the larger of a cell's own and the pooled one, less a bit.

    Parameters
    ----------
    own : ndarray, shape (k,)
        Spread of each cell by itself; NaN for a single run.
    pooled : float or ndarray, shape (k,)
        Spread shared by the series.
    setups : int, optional
        Number of set-ups compared, where it is not k.

    Returns
    -------
    ndarray, shape (k,)
        The larger of the two times ``guard_factor``; a single run has nothing to choose from and
        borrows the pooled spread as it is.
    """
    larger = guard_factor(setups or len(own)) * np.fmax(own, pooled)
    return np.asarray(np.where(np.isnan(own), pooled, larger))


def is_larger(own: Floats, df: Floats) -> NDArray[np.bool_]:
    """Whether a cell's own spread is plainly larger than that of all others pooled, shape (k,).

    Each cell by itself, at ``OWN_LEVEL``: its interval then rests on its own spread. ``own`` is NaN
    and ``df`` 0 where a cell has none; where spreads follow the level it is over what they follow.
    """
    ratio, other_df = _against_others(own, df)
    with np.errstate(invalid="ignore"):
        return np.asarray(ratio > special.fdtri(df, other_df, 1 - OWN_LEVEL))


def _against_others(own: Floats, df: Floats) -> tuple[Floats, Floats]:
    """Variance of each cell over that of all others pooled, and the others' degrees of freedom.

    The ratio is NaN where one of the two has no degrees of freedom.
    """
    squares = np.where(df > 0, df * np.nan_to_num(own) ** 2, 0.0)
    other_df = df.sum() - df
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = (squares / df) / ((squares.sum() - squares) / other_df)
    return np.where((df > 0) & (other_df > 0), ratio, np.nan), other_df


def is_unusual(own: Floats, df: Floats, level: float = 0.01) -> NDArray[np.bool_]:
    """Whether the spread of a cell is larger than the others' allow, shape (k,).

    Parameters
    ----------
    own : ndarray, shape (k,)
        Spread of each cell by itself; NaN for a single run.
    df : ndarray, shape (k,)
        Its degrees of freedom, 0 for a single run.
    level : float
        Chance of flagging any cell where all spreads are equal, at most.

    Notes
    -----
    Source: Cochran's test of ISO 5725-2 in its F form, which allows for unequal numbers of runs:
    each variance against that of all other cells pooled, the level shared among the cells.
    """
    ratio, other_df = _against_others(own, df)
    testable = int(np.sum((df > 0) & (other_df > 0)))
    with np.errstate(invalid="ignore"):
        return np.asarray(ratio > special.fdtri(df, other_df, 1 - level / max(testable, 1)))


def _deviations(values: Floats) -> list[float]:
    mean = mean_of_runs(values)
    return [value - mean for value in values.tolist()]
