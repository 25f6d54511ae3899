"""Intervals that count whole makers, not single machines.

In:  two columns over machines, their strata and makers.
Out: a slope or a correlation within strata, with its interval.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from scipy import special

from trialpress.analyses.ranks import TINY, Estimate, Floats, deviations
from trialpress.analyses.sign_flips import Compared

Sums = tuple[Floats, Floats, Floats]


def slope_within(
    factor: Floats, outcome: Floats, compared: Compared, confidence: float
) -> Estimate:
    """Change of the outcome by one unit of the factor, within strata.

    Parameters
    ----------
    factor, outcome : ndarray, shape (n,)
        Of each machine. A factor of 0 and 1 makes this the difference of two groups' means, strata
        weighed by how much both groups have in them.
    compared : Compared
        The machines.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    Estimate
        Without ends where all rests on one maker.

    Notes
    -----
    Interval: delete-one-maker jackknife (CV3 of MacKinnon, Nielsen and Webb, J. Appl. Econometrics
    38, 2023, 671), t with the effective number of makers less one for its degrees of freedom
    (Carter, Schnepel and Steigerwald, Rev. Econ. Stat. 99, 2017, 698); both from memory, the
    coverage is simulated in ``tests/audit``.
    """
    return _estimate(factor, outcome, compared, confidence, (_slope, float))


def correlation_within(
    factor: Floats, outcome: Floats, compared: Compared, confidence: float
) -> Estimate:
    """Correlation within strata; of rank scores in one stratum it is Spearman's rho.

    As ``slope_within``, worked out on Fisher's scale.
    """
    return _estimate(factor, outcome, compared, confidence, (_fisher, math.tanh))


def _estimate(
    factor: Floats,
    outcome: Floats,
    compared: Compared,
    confidence: float,
    scale: tuple[Callable[[Sums], Floats], Callable[[float], float]],
) -> Estimate:
    measure, back = scale
    parts = _sums(factor, outcome, compared)
    totals = tuple(part.sum(axis=0) for part in parts)
    whole = float(measure(_within(totals)))
    leverage = _leverage(factor, compared)
    counts = leverage > TINY
    without = measure(
        _within(tuple(total - part[counts] for total, part in zip(totals, parts, strict=True)))
    )
    effective = float(np.sum(leverage) ** 2 / np.sum(leverage**2))
    makers = len(without)
    if makers <= 1 or not bool(np.all(np.isfinite(without))) or not math.isfinite(whole):
        return Estimate(back(whole), None, None)
    error = math.sqrt((makers - 1) / makers * float(np.sum((without - whole) ** 2)))
    half = float(special.stdtrit(max(effective - 1, 1.0), (1 + confidence) / 2)) * error
    return Estimate(back(whole), back(whole - half), back(whole + half))


def _sums(factor: Floats, outcome: Floats, compared: Compared) -> tuple[Floats, ...]:
    """Counts, sums, squares and products by maker and stratum: each of shape (makers, strata)."""
    strata = np.eye(int(compared.strata.max()) + 1)[compared.strata]
    columns = (
        np.ones_like(factor), factor, outcome, factor**2, factor * outcome, outcome**2
    )  # fmt: skip
    return tuple(compared.by_maker(strata * column[:, None]) for column in columns)


def _within(sums: tuple[Floats, ...]) -> Sums:
    """Sums of squares and products about the means of the strata, added up over them."""
    count, factor, outcome, factors, products, outcomes = sums
    count = np.maximum(count, 1.0)
    return (
        np.sum(factors - factor**2 / count, axis=-1),
        np.sum(products - factor * outcome / count, axis=-1),
        np.sum(outcomes - outcome**2 / count, axis=-1),
    )


def _slope(sums: Sums) -> Floats:
    factors, products, _ = sums
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(factors > TINY, products / factors, np.nan)


def _fisher(sums: Sums) -> Floats:
    """Inverse hyperbolic tangent of the correlation; not finite where all are in one order."""
    factors, products, outcomes = sums
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(
            (factors > TINY) & (outcomes > TINY), products / np.sqrt(factors * outcomes), np.nan
        )
        return np.arctanh(np.round(ratio, 12))


def _leverage(factor: Floats, compared: Compared) -> Floats:
    """How much of the factor's spread within strata each maker has: shape (makers,)."""
    return compared.by_maker(deviations(factor, compared.strata)[:, None] ** 2)[:, 0]
