"""Location and scale that a few wrong values do not move.

In:  values.
Out: robust mean and standard deviation, in the unit of the values.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import fmean, median

_MOST_ROUNDS = 200
_CLOSE = 1e-9


def algorithm_a(values: Sequence[float]) -> tuple[float, float]:
    """Robust mean and standard deviation of at least two values.

    Parameters
    ----------
    values : sequence of float, length 2 or more

    Returns
    -------
    tuple of float
        Mean and standard deviation; the latter is 0 where more than half of the values are equal.

    Notes
    -----
    Source: ISO 13528, annex C.3, algorithm A: values further than 1.5 standard deviations from the
    mean are taken at that distance, until nothing moves. 1.483 and 1.134 make both estimates
    consistent for the normal distribution.
    """
    mean = median(values)
    sd = 1.483 * median(abs(value - mean) for value in values)
    for _ in range(_MOST_ROUNDS):
        if sd == 0:
            break
        low, high = mean - 1.5 * sd, mean + 1.5 * sd
        kept = [min(max(value, low), high) for value in values]
        before, mean = (mean, sd), fmean(kept)
        sd = 1.134 * math.sqrt(math.fsum((x - mean) ** 2 for x in kept) / (len(values) - 1))
        if abs(mean - before[0]) + abs(sd - before[1]) <= _CLOSE * sd:
            break
    return mean, sd
