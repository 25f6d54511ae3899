"""Quantiles of the studentized range, by quadrature.

In:  a chance, a number of means and the degrees of freedom of their spread.
Out: the quantile. scipy has the same function, some fifty times slower; the tests compare the two.
"""

from __future__ import annotations

import math
import struct
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from scipy import optimize, special

from trialpress.cache import kept
from trialpress.results.spread import Floats

if TYPE_CHECKING:
    from scipy.interpolate import CubicSpline

SCALE_NODES = 112
VALUE_NODES = 128
SMALLEST_CHANCE = 1e-14  # of the spread to lie beyond the nodes
WIDEST_VALUE = 8.5  # standard normal values beyond add less than 1e-16
WIDEST_RANGE = 2 * WIDEST_VALUE
CURVE_POINTS = 2049


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

    top = 4.0
    while missing(top) < 0:
        top *= 2
    return float(optimize.brentq(missing, 0.0, top, xtol=1e-9, rtol=1e-10))


def studentized_range_chance(quantile: float, count: int, df: float) -> float:
    """Chance that the studentized range of ``count`` values stays below ``quantile``."""
    scales, weights = _scales(df)
    widths = np.minimum(quantile * scales, WIDEST_RANGE)
    return float(weights @ _range_curve(count)(widths))


@lru_cache(maxsize=256)
def _range_curve(count: int) -> CubicSpline:
    """``_range_chance`` of a number of values as a curve, right to 1e-9; all spreads share it."""
    from scipy.interpolate import CubicSpline  # noqa: PLC0415  quantiles are kept between builds

    widths = np.linspace(0.0, WIDEST_RANGE, CURVE_POINTS)
    return CubicSpline(widths, _range_chance(widths, count))


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
