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

GUARD_DF = 0.5
"""Degrees of freedom that the pooled spread counts for beside a cell's own in comparisons.

Found by simulation; ``tests/audit`` repeats the study, and its table is the evidence. With 0, the
larger of the two as they are, 45 equal set-ups on two runs each lose 21 points of power for as many
false separations of equals; with 1 a set-up four times noisier errs too often.
"""

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


def guarded_spread(own: Floats, df: Floats, pooled: Floats | float) -> Floats:
    """The spread that comparisons use: the pooled one, or a cell's own, moderated, if larger.

    Parameters
    ----------
    own : ndarray, shape (..., k)
        Spread of each cell by itself; NaN for a single run.
    df : ndarray, shape (k,)
        Its degrees of freedom.
    pooled : float or ndarray, shape (..., k)
        Spread shared by the series.

    Returns
    -------
    ndarray, shape (..., k)
        A single run borrows the pooled spread as it is.

    Notes
    -----
    Source: the moderated variance of Smyth, Stat. Appl. Genet. Mol. Biol. 3 (2004) 3, with
    ``GUARD_DF`` prior degrees of freedom; that it may only widen is this project's own.
    """
    weight = df / (GUARD_DF + df)
    moderated = np.hypot(np.sqrt(weight) * own, np.sqrt(1 - weight) * pooled)
    return np.asarray(np.fmax(moderated, pooled))


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
