"""Rank statistics: what a handful of machines says without any assumption of shape.

In:  values of two groups, or pairs of values; arrays.
Out: shifts, orders and correlations, each with an interval; None where there is none to be had.

None of these takes the uncertainty of a single machine's mean into account: here the machine is the
unit, and what is asked is what holds for machines like these.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import special

Floats = NDArray[np.float64]

MOST_EXACT = 100
"""Values of both groups beyond which U is taken as normal: the exact counts lose their digits."""


@dataclass(frozen=True)
class Estimate:
    """A figure with its interval; ends are None where the groups are too small for one."""

    value: float
    low: float | None
    high: float | None


@dataclass(frozen=True)
class TwoGroups:
    """One group against another: shift in their unit, Cliff's delta, and the p value."""

    shift: Estimate
    delta: Estimate
    p: float


def compare_groups(first: Floats, second: Floats, confidence: float) -> TwoGroups:
    """Mann-Whitney test, Hodges-Lehmann shift and Cliff's delta of two groups.

    Parameters
    ----------
    first, second : ndarray, shapes (n,) and (m,), n and m at least 1
        Values in one unit.
    confidence : float
        Of the intervals, between 0 and 1.

    Returns
    -------
    TwoGroups
        ``first`` minus ``second``.

    Notes
    -----
    Sources: Hollander, Wolfe and Chicken, Nonparametric Statistical Methods, 4.1 to 4.3 (test,
    shift, and its interval from ordered differences); Cliff, Psychol. Bull. 114 (1993) 494 (delta
    and its variance).
    """
    return TwoGroups(
        shift=hodges_lehmann(first, second, confidence),
        delta=cliffs_delta(first, second, confidence),
        p=mann_whitney_p(first, second),
    )


def mann_whitney_p(first: Floats, second: Floats) -> float:
    """Two-sided p value: exact without ties in up to ``MOST_EXACT`` values, else normal.

    The normal approximation is corrected for ties and for continuity.
    """
    count, others = len(first), len(second)
    u = _wins(first, second)
    _, ties = np.unique(np.concatenate([first, second]), return_counts=True)
    if np.all(ties == 1) and count + others <= MOST_EXACT:
        below = _u_distribution(count, others)[: math.floor(min(u, count * others - u)) + 1]
        return min(1.0, 2 * math.fsum(below))
    variance = _u_variance(count, others, ties)
    if variance == 0:
        return 1.0
    distance = max(abs(u - count * others / 2) - 0.5, 0.0)
    return min(1.0, 2 * float(special.ndtr(-distance / math.sqrt(variance))))


def _u_variance(count: int, others: int, ties: NDArray[np.int64]) -> float:
    """Variance of U where both groups are alike; ``ties`` is how often each value occurs."""
    total, repeated = count + others, ties.astype(np.float64)
    tied = float(np.sum(repeated**3 - repeated)) / total / (total - 1)
    return count * others / 12 * (total + 1 - tied)


def hodges_lehmann(first: Floats, second: Floats, confidence: float) -> Estimate:
    """Median of all differences, and the interval that inverts the Mann-Whitney test."""
    differences = np.sort((first[:, None] - second[None, :]).ravel())
    beyond = _differences_beyond(first, second, (1 - confidence) / 2)
    median = float(np.median(differences))
    if beyond <= 0:
        return Estimate(median, None, None)
    return Estimate(median, float(differences[beyond - 1]), float(differences[-beyond]))


def _differences_beyond(first: Floats, second: Floats, chance: float) -> int:
    """As many differences as may lie beyond each end and the test still finds too extreme."""
    count, others = len(first), len(second)
    if count + others <= MOST_EXACT:
        tail = np.cumsum(_u_distribution(count, others))
        return int(np.searchsorted(tail, chance, side="right"))
    _, ties = np.unique(np.concatenate([first, second]), return_counts=True)
    reach = float(special.ndtri(1 - chance)) * math.sqrt(_u_variance(count, others, ties))
    return math.floor(count * others / 2 - reach + 0.5)


def cliffs_delta(first: Floats, second: Floats, confidence: float) -> Estimate:
    """How much more often the first group's values are the larger ones, from -1 to 1.

    Notes
    -----
    Interval: Feng and Cliff, J. Mod. Appl. Stat. Methods 3 (2004) 322, with the unbiased variance
    kept at or above its floor. Where the groups do not overlap its variance vanishes; the interval
    is then Wilson's for the smaller group. None with fewer than two values in a group.
    """
    sign = np.sign(first[:, None] - second[None, :])
    delta, count, others = float(np.mean(sign)), len(first), len(second)
    if min(count, others) <= 1:
        return Estimate(delta, None, None)
    z = float(special.ndtri((1 + confidence) / 2))
    if abs(delta) == 1:
        smaller = min(count, others)
        inner = (smaller - z**2) / (smaller + z**2)
        ends = sorted((delta, math.copysign(1, delta) * inner))
        return Estimate(delta, ends[0], ends[1])
    variance = _delta_variance(sign, delta)
    half = z * math.sqrt(variance * ((1 - delta**2) ** 2 + z**2 * variance))
    bottom = 1 - delta**2 + z**2 * variance
    centre = delta - delta**3
    return Estimate(delta, max(-1.0, (centre - half) / bottom), min(1.0, (centre + half) / bottom))


def _delta_variance(sign: Floats, delta: float) -> float:
    count, others = (int(size) for size in sign.shape)
    rows = float(np.sum((sign.mean(axis=1) - delta) ** 2))
    columns = float(np.sum((sign.mean(axis=0) - delta) ** 2))
    within = float(np.sum((sign - delta) ** 2))
    pairs = count * others * (count - 1) * (others - 1)
    unbiased = float((others**2 * rows + count**2 * columns - within) / pairs)
    return max(unbiased, float((1 - delta**2) / (count * others - 1)))


def _wins(first: Floats, second: Floats) -> float:
    """Mann-Whitney's U of the first group: pairs it wins, ties counting half."""
    return float(np.sum((np.sign(first[:, None] - second[None, :]) + 1) / 2))


@lru_cache(maxsize=512)
def _u_distribution(count: int, others: int) -> tuple[float, ...]:
    """Chances of U = 0, 1 … count * others where both groups are alike and nothing ties."""
    ways = np.zeros(count * others + 1)
    ways[0] = 1.0
    # The generating function is a product of (1 - x^(others + i)) / (1 - x^i).
    for i in range(1, count + 1):
        step = others + i
        if step < len(ways):
            ways[step:] -= ways[:-step].copy()
        for start in range(i):
            ways[start::i] = np.cumsum(ways[start::i])
    return tuple((ways / ways.sum()).tolist())


@dataclass(frozen=True)
class ManyGroups:
    """Kruskal-Wallis: H, its p value, and the share of the order that groups account for."""

    statistic: float
    p: float
    share: Estimate


def kruskal_wallis(groups: Sequence[Floats], confidence: float) -> ManyGroups | None:
    """Whether groups differ in order, and by how much; None where that cannot be asked.

    It cannot where all values are equal, or every group has one value.

    Notes
    -----
    H with correction for ties and its chi-square p value. Effect: eta squared,
    (H - k + 1) / (n - k) (Tomczak and Tomczak, Trends Sport Sci. 21 (2014) 19), 0 where that is
    negative. Its interval inverts the noncentral F distribution of the ranks, nc / (nc + n)
    (Smithson, Confidence Intervals, 2003): an approximation.
    """
    values = np.concatenate(groups)
    total, count = len(values), len(groups)
    _, ties = np.unique(values, return_counts=True)
    correction = 1 - float(np.sum(ties**3 - ties)) / (total**3 - total)
    if correction == 0 or total == count:
        return None
    parts = np.split(average_ranks(values), np.cumsum([len(group) for group in groups])[:-1])
    between = math.fsum(float(part.sum()) ** 2 / len(part) for part in parts)
    h = max((12 / (total * (total + 1)) * between - 3 * (total + 1)) / correction, 0.0)
    p = float(special.chdtrc(count - 1, h))
    return ManyGroups(h, p, _share(h, count, total, confidence))


def _share(h: float, count: int, total: int, confidence: float) -> Estimate:
    share = max((h - count + 1) / (total - count), 0.0)
    within = total - 1 - h
    if within <= 1e-9 * total:
        return Estimate(share, None, None)
    f = (h / (count - 1)) / (within / (total - count))
    tail = (1 - confidence) / 2
    low, high = (_share_for(f, count, total, chance) for chance in (1 - tail, tail))
    return Estimate(share, min(low, share), max(high, share))


def _share_for(f: float, count: int, total: int, chance: float) -> float:
    """The share at which F stays at or below ``f`` with that chance; 0 where none is so small."""
    dfs = count - 1, total - count
    if special.fdtr(*dfs, f) <= chance:
        return 0.0
    noncentral = float(special.ncfdtrinc(*dfs, chance, f))
    return noncentral / (noncentral + total)


@dataclass(frozen=True)
class Correlation:
    """Spearman's rho with its interval, and the p value."""

    rho: Estimate
    p: float


FEWEST_PAIRS = 5


def spearman(first: Floats, second: Floats, confidence: float) -> Correlation | None:
    """Rank correlation; None with fewer than ``FEWEST_PAIRS`` pairs or where one side is constant.

    Notes
    -----
    P value from t with n - 2 degrees of freedom, that of a perfect order from counting. Interval:
    Fisher's z with the standard error of Bonett and Wright, Psychometrika 65 (2000) 23. A
    perfect order has no such interval.
    """
    count = len(first)
    if count < FEWEST_PAIRS or min(np.ptp(first), np.ptp(second)) == 0:
        return None
    a, b = (average_ranks(values) - (count + 1) / 2 for values in (first, second))
    rho = float(np.sum(a * b) / math.sqrt(float(np.sum(a * a)) * float(np.sum(b * b))))
    rho = round(rho, 12)
    if abs(rho) == 1:
        return Correlation(Estimate(rho, None, None), 2 / math.factorial(count))
    t = rho * math.sqrt((count - 2) / (1 - rho**2))
    p = 2 * float(special.stdtr(count - 2, -abs(t)))
    half = float(special.ndtri((1 + confidence) / 2)) * math.sqrt((1 + rho**2 / 2) / (count - 3))
    z = math.atanh(rho)
    return Correlation(Estimate(rho, math.tanh(z - half), math.tanh(z + half)), p)


def average_ranks(values: Floats) -> Floats:
    """Ranks from 1; equal values share the mean of theirs."""
    _, inverse, counts = np.unique(values, return_inverse=True, return_counts=True)
    last = np.cumsum(counts)
    return np.asarray((last - (counts - 1) / 2)[inverse])


def holm(p_values: Sequence[float]) -> tuple[float, ...]:
    """The same p values, made to hold for all of them together.

    Notes
    -----
    Source: Holm, Scand. J. Stat. 6 (1979) 65.
    """
    order = sorted(range(len(p_values)), key=lambda i: p_values[i])
    adjusted, so_far = [0.0] * len(p_values), 0.0
    for position, i in enumerate(order):
        so_far = max(so_far, min(1.0, (len(p_values) - position) * p_values[i]))
        adjusted[i] = so_far
    return tuple(adjusted)
