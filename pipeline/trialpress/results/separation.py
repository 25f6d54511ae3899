"""Which set-ups of a series can be told apart, all pairs looked at together.

In:  means, variances of their differences and the degrees of freedom behind those.
Out: simultaneous intervals of all differences, and from them the relation of each pair.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import numpy as np
from numpy.polynomial import Chebyshev
from numpy.typing import NDArray

from trialpress.results.spread import Floats
from trialpress.results.studentized_range import studentized_range_quantile

Booleans = NDArray[np.bool_]

FEW_DF = 30.0
DEGREE = 7


class Relation(StrEnum):
    """What the runs say of one set-up against another."""

    BETTER = "better"
    WORSE = "worse"
    LEVEL = "level"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True)
class Differences:
    """Simultaneous intervals of all differences, arrays of shape (k, k).

    Element (i, j) is mean i minus mean j. Intervals are NaN where nothing can be said.
    """

    difference: Floats
    low: Floats
    high: Floats

    @property
    def is_larger(self) -> Booleans:
        """Where the runs show mean i to be larger than mean j, shape (k, k)."""
        return np.asarray(self.low > 0)

    @property
    def is_smaller(self) -> Booleans:
        """Where the runs show mean i to be smaller than mean j, shape (k, k)."""
        return np.asarray(self.high < 0)

    def without(self, left_out: Booleans) -> Differences:
        """The same with nothing said about some of the k set-ups."""
        hidden = left_out[:, None] | left_out[None, :]
        return Differences(
            self.difference,
            np.where(hidden, np.nan, self.low),
            np.where(hidden, np.nan, self.high),
        )


def unknown_differences(mean: Floats) -> Differences:
    """Differences of k means of whose uncertainty nothing is known."""
    nothing = np.full((len(mean), len(mean)), np.nan)
    return Differences(mean[:, None] - mean[None, :], nothing, nothing)


def simultaneous_differences(mean: Floats, standard_error: Floats, critical: Floats) -> Differences:
    """Intervals of all pairwise differences that hold together at one level.

    Parameters
    ----------
    mean : ndarray, shape (k,)
        Means of the cells.
    standard_error : ndarray, shape (k, k)
        Of each difference.
    critical : float or ndarray, shape (k, k)
        From ``critical_values``.

    Returns
    -------
    Differences

    Notes
    -----
    Source: Tukey-Kramer; Kramer, Biometrics 12 (1956) 307; that it is conservative for unequal
    numbers of runs: Hayter, Ann. Stat. 12 (1984) 61.
    """
    difference = mean[:, None] - mean[None, :]
    half = critical * standard_error
    return Differences(difference, difference - half, difference + half)


def independent_errors(standard_error: Floats) -> Floats:
    """Standard errors of all differences of k independent means, shape (k, k)."""
    return np.hypot(standard_error[:, None], standard_error[None, :])


def critical_values(confidence: float, count: int, df: Floats | float) -> Floats:
    """Half-widths of simultaneous intervals, in standard errors of a difference.

    Parameters
    ----------
    confidence : float
        Chance that the intervals of all pairs hold at once.
    count : int
        Number of set-ups compared.
    df : float or ndarray
        Degrees of freedom; cut to a whole number, as the GUM does, and to 1 at least.

    Returns
    -------
    ndarray, of the shape of ``df``

    Notes
    -----
    Source: studentized range over the square root of 2 (Tukey); JCGM 100:2008 (GUM), G.4.1.
    """
    whole = np.where(np.isinf(df), np.inf, np.maximum(np.floor(df), 1))
    quantiles = {v: _quantile(confidence, count, v) for v in np.unique(whole).tolist()}
    return np.asarray(np.vectorize(quantiles.__getitem__, otypes=[float])(whole) / math.sqrt(2))


def _quantile(confidence: float, count: int, df: float) -> float:
    """The quantile; with many degrees of freedom, from a polynomial in their reciprocal.

    Each quantile takes a search, and a series can ask for hundreds of degrees of freedom.
    """
    if df <= FEW_DF:
        return studentized_range_quantile(confidence, count, df)
    return float(_with_many_df(confidence, count)(1 / df))


@lru_cache(maxsize=256)
def _with_many_df(confidence: float, count: int) -> Chebyshev:
    """The quantile over 1 / df, from ``FEW_DF`` up; right to 1 part in ten million."""

    def quantiles(reciprocals: Floats) -> Floats:
        dfs = (1 / reciprocals).tolist()
        return np.array([studentized_range_quantile(confidence, count, df) for df in dfs])

    return Chebyshev.interpolate(quantiles, DEGREE, domain=[0, 1 / FEW_DF])


def relation_of(low: float, high: float, matters: float, *, higher_is_better: bool) -> Relation:
    """The relation of a set-up to another, from the interval of its difference.

    Parameters
    ----------
    low, high : float
        Ends of the interval of value minus the other's value; NaN where there is none.
    matters : float
        The smallest difference worth telling, in the unit of the values.
    higher_is_better : bool
        False where lower values are better.

    Returns
    -------
    Relation
        Better or worse where the interval excludes 0; level where it lies wholly within
        +- matters; otherwise it cannot be told.
    """
    if low > 0:
        return Relation.BETTER if higher_is_better else Relation.WORSE
    if high < 0:
        return Relation.WORSE if higher_is_better else Relation.BETTER
    if -matters <= low and high <= matters:
        return Relation.LEVEL
    return Relation.CANNOT_TELL
