"""Quantiles of the studentized range, by quadrature.

In:  a chance, a number of means and the degrees of freedom of their spread.
Out: the quantile. scipy has the same function, some fifty times slower; the tests compare the two.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Callable
from functools import lru_cache

import numpy as np
from scipy import special

from trialpress.cache import kept
from trialpress.results.spread import Floats

SCALE_NODES = 112
VALUE_NODES = 128
SMALLEST_CHANCE = 1e-14  # of the spread to lie beyond the nodes
WIDEST_VALUE = 8.5  # standard normal values beyond add less than 1e-16
WIDEST_RANGE = 2 * WIDEST_VALUE
CURVE_POINTS = 2049
CLOSE = 1e-10

Point = tuple[float, float]
"""A place, and what a function is there."""


@lru_cache(maxsize=8192)
def studentized_range_quantile(confidence: float, count: int, df: float) -> float:
    """Quantile of the range of normal values over an independent estimate of their spread.

    Parameters
    ----------
    confidence : float
        Chance that the range stays below the quantile.
    count : int
        Number of values; one alone is taken as two.
    df : float
        Degrees of freedom of the spread, at least 1; infinity where it is known.

    Returns
    -------
    float
        Right to 1 part in a million.

    Notes
    -----
    Source: Lund and Lund, algorithm AS 190, Appl. Stat. 32 (1983) 204, for the integral; here by
    Gauss-Legendre quadrature, over the lowest value and the spread.
    """
    values = max(count, 2)
    asked = struct.pack("<dqd", confidence, values, df)
    found = kept("quantile", [asked], lambda: struct.pack("<d", _solved(confidence, values, df)))
    return float(struct.unpack("<d", found)[0])


def _solved(confidence: float, count: int, df: float) -> float:
    def missing(quantile: float) -> float:
        return studentized_range_chance(quantile, count, df) - confidence

    low, high = 0.0, 4.0
    below, above = missing(low), missing(high)
    while above < 0:
        low, below, high = high, above, 2 * high
        above = missing(high)
    return _root(missing, (low, below), (high, above))


def _root(function: Callable[[float], float], one: Point, other: Point) -> float:
    """Where a function is 0 between two points, right to ``CLOSE``.

    Source: the Illinois method; Dowell and Jarratt, BIT 11 (1971) 168. scipy.optimize has others,
    and takes a third of a second to import.
    """
    (low, below), (high, above) = one, other
    while abs(high - low) > CLOSE and above != 0:
        middle = high - above * (high - low) / (above - below)
        value = function(middle)
        if value * above < 0:
            low, below = high, above
        else:
            below /= 2  # else this end might never move
        high, above = middle, value
    return high


def studentized_range_chance(quantile: float, count: int, df: float) -> float:
    """Chance that the studentized range of ``count`` values stays below ``quantile``."""
    scales, weights = _scales(df)
    widths = np.minimum(quantile * scales, WIDEST_RANGE)
    return float(weights @ _on_curve(_range_curve(count), widths))


@lru_cache(maxsize=256)
def _range_curve(count: int) -> Floats:
    """``_range_chance`` of a number of values at even widths; all spreads share it."""
    return _range_chance(np.linspace(0.0, WIDEST_RANGE, CURVE_POINTS), count)


def _on_curve(curve: Floats, widths: Floats) -> Floats:
    """Chances at any widths, by the cubic through the four points around each: right to 1e-9."""
    places = widths * ((CURVE_POINTS - 1) / WIDEST_RANGE)
    first = np.clip(places.astype(np.int64) - 1, 0, CURVE_POINTS - 4)
    t = places - first
    return np.asarray(
        -(t - 1) * (t - 2) * (t - 3) / 6 * curve[first]
        + t * (t - 2) * (t - 3) / 2 * curve[first + 1]
        - t * (t - 1) * (t - 3) / 2 * curve[first + 2]
        + t * (t - 1) * (t - 2) / 6 * curve[first + 3]
    )


def _range_chance(width: Floats, count: int) -> Floats:
    """Chance that the range of standard normal values stays below each width, shape of width."""
    lowest, weights = _nodes(-WIDEST_VALUE, WIDEST_VALUE, VALUE_NODES)
    density = np.exp(-(lowest**2) / 2) / math.sqrt(2 * math.pi)
    within = special.ndtr(lowest[None, :] + width[:, None]) - special.ndtr(lowest)[None, :]
    return np.asarray(within ** (count - 1) @ (weights * density * count))


@lru_cache(maxsize=1024)
def _scales(df: float) -> tuple[Floats, Floats]:
    """Values of the estimated spread over the true one, with weights that add up to 1.

    Nodes lie evenly on the square root of the spread, which puts more of them near 0, where few
    degrees of freedom need them.
    """
    if math.isinf(df):
        return np.ones(1), np.ones(1)
    ends = np.sqrt(special.chdtri(df, [1 - SMALLEST_CHANCE, SMALLEST_CHANCE]) / df)
    low, high = np.sqrt(ends).tolist()
    roots, weights = _nodes(low, high, SCALE_NODES)
    scales = roots**2
    log_density = (df - 1) * np.log(scales) - df * scales**2 / 2
    density = weights * roots * np.exp(log_density - log_density.max())
    return scales, density / density.sum()


def _nodes(low: float, high: float, number: int) -> tuple[Floats, Floats]:
    nodes, weights = _legendre(number)
    return low + (nodes + 1) / 2 * (high - low), weights * (high - low) / 2


@lru_cache(maxsize=2)
def _legendre(number: int) -> tuple[Floats, Floats]:
    return np.polynomial.legendre.leggauss(number)
