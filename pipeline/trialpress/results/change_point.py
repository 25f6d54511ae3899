"""A step looked for within values that should all be alike, such as the baseline of a chart.

In:  values in the order they were measured.
Out: the step that fits them best, and how often chance alone fits one as well.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from trialpress.results.spread import Floats

LEAST_VALUES = 3
STEP_LEVEL = 0.01
"""A step is told where chance alone would fit one as well less often than this."""
DRAWS = 20_000
SEED = 20310302


@dataclass(frozen=True)
class LevelStep:
    """The best fitting step: after how many values, by how much, and the chance of one as clear.

    ``size`` is the mean after less the mean before, ``p`` the share of unchanging series of normal
    values in which some step fits at least as well.
    """

    before: int
    size: float
    p: float


def find_step(values: Floats) -> LevelStep | None:
    """Look for one lasting step in the level of values.

    Parameters
    ----------
    values : ndarray, shape (n,)
        In the order they were measured, in the unit of the protocol.

    Returns
    -------
    LevelStep or None
        None where there are fewer than three values, or they do not differ at all.

    Notes
    -----
    The largest two-sample t over all places of the step; it is the likelihood-ratio test. Its
    chance under no step depends on the number of values alone, and comes from ``DRAWS`` series
    drawn with a fixed seed. Source: Hawkins, Journal of the American Statistical Association 72
    (1977) 180; Worsley, the same 74 (1979) 365.
    """
    n = len(values)
    if n < LEAST_VALUES or np.ptp(values) == 0:
        return None
    explained = explained_by_step(values)
    before = int(np.argmax(explained)) + 1
    at_least = len(explained_by_chance(n)) - np.searchsorted(
        explained_by_chance(n), explained[before - 1]
    )
    size = float(values[before:].mean() - values[:before].mean())
    return LevelStep(before, size, float(1 + at_least) / (1 + DRAWS))


def explained_by_step(values: Floats) -> Floats:
    """The share of the sum of squares that a step after each value but the last takes away.

    Parameters
    ----------
    values : ndarray, shape (..., n)
        Series of values.

    Returns
    -------
    ndarray, shape (..., n - 1)
        Between 0 and 1; a share of r is a two-sample t squared of (n - 2) r / (1 - r).
    """
    n = values.shape[-1]
    centred = values - values.mean(axis=-1, keepdims=True)
    before = np.arange(1, n)
    sums = np.cumsum(centred, axis=-1)[..., :-1]
    between = sums**2 * n / (before * (n - before))
    return np.asarray(between / np.sum(centred**2, axis=-1, keepdims=True))


@lru_cache(maxsize=64)
def explained_by_chance(n: int) -> Floats:
    """The largest share in each of ``DRAWS`` series of n values without a step, sorted."""
    draws = np.random.default_rng(SEED).normal(size=(DRAWS, n))
    return np.sort(explained_by_step(draws).max(axis=-1))
