"""Places in a series, and the places that the data cannot rule out.

In:  published means, or who the runs show to be better than whom.
Out: places from 1 to k.
"""

from __future__ import annotations

from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from trialpress.results.separation import Booleans
from trialpress.results.spread import Floats

Places = NDArray[np.int64]


class Top(StrEnum):
    """Whether a set-up is among the first N."""

    CERTAIN = "certain"
    POSSIBLE = "possible"
    OUT = "out"


def places_of(values: Floats, *, higher_is_better: bool) -> Places:
    """Place of each value; equal values share one, and the next counts on: 1, 1, 3.

    Parameters
    ----------
    values : ndarray, shape (k,)
        Means as published, so that a tie a reader sees is a tie.
    higher_is_better : bool
        False where lower values are better.

    Returns
    -------
    ndarray of int, shape (k,)
    """
    is_ahead = (
        values[:, None] > values[None, :]
        if higher_is_better
        else (values[:, None] < values[None, :])
    )
    return np.asarray(1 + is_ahead.sum(axis=0), dtype=np.int64)


def place_range(is_better: Booleans) -> tuple[Places, Places]:
    """Best and worst place of each set-up that the data cannot rule out.

    Parameters
    ----------
    is_better : ndarray of bool, shape (k, k)
        Whether i is better than j, from intervals that hold together.

    Returns
    -------
    tuple of ndarray of int, shapes (k,)
        1 + the number that are better, and k - the number that are worse.

    Notes
    -----
    Source: Mogstad, Romano, Shaikh and Wilhelm, Rev. Econ. Stud. 2023, doi 10.1093/restud/rdad006;
    via Tukey's intervals, arXiv 1708.02729.
    """
    best = 1 + is_better.sum(axis=0)
    worst = len(is_better) - is_better.sum(axis=1)
    return np.asarray(best, dtype=np.int64), np.asarray(worst, dtype=np.int64)


def top_of(place_best: int, place_worst: int, top_n: int) -> Top:
    """Whether every, some or no place that cannot be ruled out is among the first ``top_n``."""
    if place_worst <= top_n:
        return Top.CERTAIN
    return Top.POSSIBLE if place_best <= top_n else Top.OUT
