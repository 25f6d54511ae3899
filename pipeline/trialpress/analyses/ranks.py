"""Ranks and deviations within strata, such as the kinds of machines.

In:  values of n machines, and the stratum of each; arrays.
Out: arrays of the same shape. Machines are compared with those of their own stratum alone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

TINY = 1e-12
"""Below this a sum of squared deviations is what rounding leaves of none."""


@dataclass(frozen=True)
class Estimate:
    """A figure with its interval; ends are None where too little is there for one."""

    value: float
    low: float | None
    high: float | None


def average_ranks(values: Floats) -> Floats:
    """Ranks from 1; equal values share the mean of theirs.

    Not scipy.stats, which takes half a second to import.
    """
    _, places, counts = np.unique(values, return_inverse=True, return_counts=True)
    shared = np.cumsum(counts) - (counts - 1) / 2
    return np.asarray(shared[places], dtype=np.float64)


def rank_scores(values: Floats, strata: Integers) -> Floats:
    """Ranks within each stratum, as shares of its size plus one, less their mean.

    Parameters
    ----------
    values : ndarray, shape (n,)
        In one unit.
    strata : ndarray of int, shape (n,)
        From 0.

    Returns
    -------
    ndarray, shape (n,)
        Between -1/2 and 1/2; each stratum adds up to 0.

    Notes
    -----
    Source: van Elteren, Bull. Int. Stat. Inst. 37 (1960) 351: ranks of a stratum of n weigh
    1/(n + 1), which tells a common shift best (Lehmann, Nonparametrics, 3.3; both from memory).
    """
    scores = np.empty(len(values))
    for stratum in np.unique(strata):
        here = strata == stratum
        size = int(np.sum(here))
        scores[here] = (average_ranks(values[here]) - (size + 1) / 2) / (size + 1)
    return scores


def deviations(values: Floats, strata: Integers) -> Floats:
    """Values less the mean of their stratum; shape (n,) or (n, g) as given."""
    sizes = np.bincount(strata)
    member = np.equal.outer(np.arange(len(sizes)), strata).astype(np.float64)
    means = (member @ values) / np.maximum(sizes, 1).reshape(-1, *[1] * (values.ndim - 1))
    return np.asarray(values - means[strata])


def has_contrast(columns: Floats) -> NDArray[np.bool_]:
    """Which columns of deviations, shape (n, g), differ within a stratum at all."""
    return np.asarray(np.sum(columns**2, axis=0) > TINY)


def explained_share(groups: Floats, scores: Floats, strata: Integers) -> float:
    """Share of the spread of rank scores that groups account for, put right for their number.

    Parameters
    ----------
    groups : ndarray, shape (n, g)
        Deviations of each group's indicator within strata.
    scores : ndarray, shape (n,)
        Rank scores within the same strata.
    strata : ndarray of int, shape (n,)
        From 0.

    Returns
    -------
    float
        From 0 to 1.

    Notes
    -----
    With one stratum and the Kruskal-Wallis statistic H this is (H - g + 1) / (n - g): Tomczak and
    Tomczak, Trends in Sport Sciences 1 (2014) 19.
    """
    total = float(np.sum(scores**2))
    fitted = groups @ np.linalg.lstsq(groups, scores, rcond=None)[0]
    of_groups = int(np.linalg.matrix_rank(groups, tol=1e-9))
    left = len(scores) - len(np.unique(strata))
    if total <= TINY or left <= of_groups:
        return 0.0
    ratio = float(np.sum(fitted**2)) / total
    return max((left * ratio - of_groups) / (left - of_groups), 0.0)
