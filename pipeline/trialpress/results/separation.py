"""Which set-ups of a series can be told apart, all pairs looked at together.

In:  means, standard errors and the degrees of freedom of the spread behind them.
Out: simultaneous intervals of all differences, and from them the relation of each pair.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from trialpress.results.spread import Floats

Booleans = NDArray[np.bool_]


class Relation(StrEnum):
    """What the runs say of one set-up against another."""

    BETTER = "better"
    WORSE = "worse"
    LEVEL = "level"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True)
class Differences:
    """Simultaneous intervals of all differences, arrays of shape (k, k).

    Element (i, j) is mean i minus mean j. Intervals are NaN where a standard error is.
    """

    difference: Floats
    low: Floats
    high: Floats

    @property
    def is_larger(self) -> Booleans:
        """Where mean i is larger than mean j beyond doubt, shape (k, k)."""
        return self.low > 0

    @property
    def is_smaller(self) -> Booleans:
        """Where mean i is smaller than mean j beyond doubt, shape (k, k)."""
        return self.high < 0


def simultaneous_differences(
    mean: Floats, standard_error: Floats, df: float, confidence: float
) -> Differences:
    """Intervals of all pairwise differences that hold together at one level.

    Parameters
    ----------
    mean, standard_error : ndarray, shape (k,)
        Of independent cells, whose standard errors come from one pooled spread.
    df : float
        Degrees of freedom of that spread; infinity where it is known.
    confidence : float
        Chance that all intervals hold at once.

    Returns
    -------
    Differences
        Arrays of shape (k, k).

    Notes
    -----
    Source: Tukey-Kramer; Kramer, Biometrics 12 (1956) 307; that it is conservative for unequal
    numbers of runs: Hayter, Ann. Stat. 12 (1984) 61.
    """
    difference = mean[:, None] - mean[None, :]
    of_difference = np.sqrt(standard_error[:, None] ** 2 + standard_error[None, :] ** 2)
    half = studentized_range_quantile(confidence, len(mean), df) / np.sqrt(2) * of_difference
    return Differences(difference, difference - half, difference + half)


@lru_cache(maxsize=4096)
def studentized_range_quantile(confidence: float, count: int, df: float) -> float:
    """Quantile of the range of ``count`` standard normal values over an independent spread.

    Raises
    ------
    ValueError
        If there is nothing to compare, or no degree of freedom.
    """
    if df <= 0:
        message = f"a studentized range needs degrees of freedom, got {df}"
        raise ValueError(message)
    return float(stats.studentized_range.ppf(confidence, max(count, 2), df))


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
