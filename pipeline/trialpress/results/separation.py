"""Which set-ups of a series can be told apart, all pairs looked at together.

In:  means, variances of their differences and the degrees of freedom behind those.
Out: simultaneous intervals of all differences, and from them the relation of each pair.
"""

from __future__ import annotations

import math
from collections.abc import Callable
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
NOISE = 1e-9
MOST_LISTED = 1_000_000
ROWS_AT_ONCE = 256
DEGREE = 7


class Relation(StrEnum):
    """What the runs say of one set-up against another."""

    BETTER = "better"
    WORSE = "worse"
    LEVEL = "level"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True)
class Differences:
    """Simultaneous intervals of all differences, arrays of shape (k, k), or some rows of them.

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


def in_blocks(count: int, block: Callable[[slice], Differences]) -> Differences:
    """Differences of k means, worked out some rows at a time, so that what is between stays small.

    Parameters
    ----------
    count : int
        k, at least 1.
    block : callable
        Gives the wanted rows, shape (rows, k).
    """
    filled = [np.empty((count, count)) for _ in range(3)]
    for first in range(0, count, ROWS_AT_ONCE):
        rows = slice(first, min(first + ROWS_AT_ONCE, count))
        found = block(rows)
        for whole, part in zip(filled, (found.difference, found.low, found.high), strict=True):
            whole[rows] = part
    return Differences(*filled)


def unknown_differences(mean: Floats) -> Differences:
    """Differences of k means of whose uncertainty nothing is known."""
    nothing = np.full((len(mean), len(mean)), np.nan)
    return Differences(mean[:, None] - mean[None, :], nothing, nothing)


def simultaneous_differences(
    mean: Floats, standard_error: Floats, critical: Floats, rows: slice = slice(None)
) -> Differences:
    """Intervals of pairwise differences that hold together at one level.

    Parameters
    ----------
    mean : ndarray, shape (k,)
        Means of the cells.
    standard_error : ndarray, shape (rows, k)
        Of each difference.
    critical : float or ndarray, shape (rows, k)
        From ``critical_values``.
    rows : slice
        Which of the k set-ups are compared with all.

    Returns
    -------
    Differences

    Notes
    -----
    Source: Tukey-Kramer; Kramer, Biometrics 12 (1956) 307; that it is conservative for unequal
    numbers of runs: Hayter, Ann. Stat. 12 (1984) 61.
    """
    difference = mean[rows, None] - mean[None, :]
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
    floor = np.floor(np.asarray(df) * (1 + NOISE))  # 2 stays 2 where it came out as 1.9999999999
    whole = np.where(np.isinf(df), 0.0, np.maximum(floor, 1))  # 0 stands for infinity
    asked, places = _distinct(whole)
    quantiles = [_quantile(confidence, count, v or math.inf) for v in asked.tolist()]
    return np.asarray((np.array(quantiles) / math.sqrt(2))[places])


def _distinct(whole: Floats) -> tuple[Floats, NDArray[np.int64]]:
    """Distinct whole numbers, and the place of each element among them.

    Degrees of freedom are small beside the number of pairs, so that a list of all numbers up to the
    largest costs less than sorting the pairs.
    """
    if whole.size == 0 or not whole.max() < MOST_LISTED:
        asked, places = np.unique(whole, return_inverse=True)
        return asked, places.reshape(whole.shape)
    numbers = whole.astype(np.int64)
    is_asked = np.zeros(int(numbers.max()) + 1, dtype=np.bool_)
    is_asked[numbers] = True
    place = np.cumsum(is_asked) - 1
    return np.flatnonzero(is_asked).astype(np.float64), place[numbers]


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


RELATIONS = tuple(Relation)


def relations_of(
    low: Floats, high: Floats, matters: float, *, higher_is_better: bool
) -> NDArray[np.int8]:
    """The relations of set-ups to others, from the intervals of their differences.

    Parameters
    ----------
    low, high : ndarray, any one shape
        Ends of the intervals of value minus the other's value; NaN where there is none.
    matters : float
        The smallest difference worth telling, in the unit of the values.
    higher_is_better : bool
        False where lower values are better.

    Returns
    -------
    ndarray of int, of that shape
        Numbers in ``RELATIONS``: better or worse where the interval excludes 0; level where it lies
        wholly within +- matters; otherwise it cannot be told.
    """
    is_larger, is_smaller = low > 0, high < 0
    is_level = (-matters <= low) & (high <= matters)
    better, worse = (is_larger, is_smaller) if higher_is_better else (is_smaller, is_larger)
    number = RELATIONS.index
    found = np.where(is_level, number(Relation.LEVEL), number(Relation.CANNOT_TELL))
    found = np.where(worse, number(Relation.WORSE), found)
    return np.asarray(np.where(better, number(Relation.BETTER), found), dtype=np.int8)


def relation_of(low: float, high: float, matters: float, *, higher_is_better: bool) -> Relation:
    """The relation of one set-up to another."""
    ends = np.asarray(low), np.asarray(high)
    return RELATIONS[int(relations_of(*ends, matters, higher_is_better=higher_is_better))]
