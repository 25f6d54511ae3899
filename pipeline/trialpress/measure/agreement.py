"""How far two graders agree on grades that are an order and no more.

In:  the grades that both gave to the same zones.
Out: weighted kappa with its interval: 1 where they always agree, 0 where chance alone would do as
     well.

A disagreement by two steps weighs twice as much as one by one step.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

GRADES = 5  # 0 clean to 4 heavily soiled
NO_VARIANCE = 1e-12
FEWEST_FOR_INTERVAL = 20
"""The interval of kappa holds for many zones; below so many it is not told (no source)."""


@dataclass(frozen=True)
class Agreement:
    """Weighted kappa of ``zones``; NaN where both gave one grade to all, which tells nothing.

    The interval is NaN where the method has no error to give, as for two who always agree.
    """

    zones: int
    kappa: float
    low: float
    high: float


def weighted_kappa(
    one: NDArray[np.int64], other: NDArray[np.int64], confidence: float
) -> Agreement:
    """Linearly weighted kappa of two graders.

    Parameters
    ----------
    one, other : ndarray, shape (n,)
        Grades 0 to 4 of the same zones, at least one.
    confidence : float
        Two-sided level of the interval.

    Returns
    -------
    Agreement
        The interval is cut at -1 and 1.

    Notes
    -----
    Source: Cohen, Psychol. Bull. 70 (1968) 213; standard error of Fleiss, Cohen and Everitt,
    Psychol. Bull. 72 (1969) 323, for large numbers of zones. Zones of one run are taken to be
    independent, so that the interval is the narrowest it can be.
    """
    table = np.zeros((GRADES, GRADES))
    np.add.at(table, (one, other), 1 / len(one))
    rows, columns = table.sum(axis=1), table.sum(axis=0)
    steps = np.abs(np.subtract.outer(np.arange(GRADES), np.arange(GRADES)))
    weight = 1 - steps / (GRADES - 1)
    observed, expected = float((weight * table).sum()), float(rows @ weight @ columns)
    if math.isclose(expected, 1):
        return Agreement(len(one), math.nan, math.nan, math.nan)
    kappa = (observed - expected) / (1 - expected)
    means = (weight @ columns)[:, None] + (rows @ weight)[None, :]
    spread = float((table * (weight - means * (1 - kappa)) ** 2).sum())
    variance = (spread - (kappa - expected * (1 - kappa)) ** 2) / (len(one) * (1 - expected) ** 2)
    if variance < NO_VARIANCE:
        return Agreement(len(one), kappa, math.nan, math.nan)
    half = float(special.ndtri((1 + confidence) / 2)) * math.sqrt(variance)
    return Agreement(len(one), kappa, max(kappa - half, -1.0), min(kappa + half, 1.0))
