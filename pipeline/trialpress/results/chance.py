"""The chance of being among the first N.

In:  means, standard errors and the degrees of freedom of their common spread.
Out: a chance from 0 to 1 for each set-up, found by quadrature: no random numbers.
"""

from __future__ import annotations

import numpy as np
from scipy import special

from trialpress.results.spread import Floats

FINE = (24, 128)
"""Nodes of the two integrals: over the spread, and over the true value."""


def chance_in_top(
    mean: Floats,
    standard_error: Floats,
    df: float,
    top_n: int,
    *,
    nodes: tuple[int, int] = FINE,
) -> Floats:
    """Chance of each of k means to be among the ``top_n`` largest.

    Parameters
    ----------
    mean, standard_error : ndarray, shape (k,)
        Standard errors above zero, from one spread.
    df : float
        Degrees of freedom of that spread; infinity where it is known.
    top_n : int
        Number of places in the cut.
    nodes : tuple of int
        Of the two integrals; fewer are faster and good enough to compare plans by.

    Returns
    -------
    ndarray, shape (k,)
        Chances between 0 and 1; they add up to min(top_n, k).

    Notes
    -----
    True means are taken to be jointly t-distributed around the observed ones (flat prior): normal
    given the spread, the spread scaled by a chi variable. The two integrals are done by
    Gauss-Legendre quadrature on the quantile scale, the number of set-ups ahead by the recursion
    for a sum of independent unequal trials (Poisson binomial).
    """
    count = len(mean)
    if top_n >= count:
        return np.ones(count)
    scales, scale_weights = _scale_nodes(df, nodes[0])
    quantiles, value_weights = _unit_nodes(nodes[1])
    normal = special.ndtri(quantiles)
    weights = scale_weights[:, None] * value_weights[None, :]
    chances = np.empty(count)
    for i in range(count):
        scaled = standard_error[i] * scales[:, None]
        true_value = mean[i] + scaled * normal[None, :]
        others = [j for j in range(count) if j != i]
        ahead = [
            special.ndtr((mean[j] - true_value) / (standard_error[j] * scales[:, None]))
            for j in others
        ]
        chances[i] = np.sum(weights * _fewer_than(top_n, ahead))
    return chances


def _fewer_than(limit: int, chances: list[Floats]) -> Floats:
    """Chance that fewer than ``limit`` of independent events happen, elementwise."""
    counts = np.zeros((limit, *chances[0].shape))
    counts[0] = 1.0
    for chance in chances:
        stepped = counts * (1 - chance)
        stepped[1:] += counts[:-1] * chance
        counts = stepped
    return np.asarray(counts.sum(axis=0))


def _unit_nodes(number: int) -> tuple[Floats, Floats]:
    nodes, weights = np.polynomial.legendre.leggauss(number)
    return (nodes + 1) / 2, weights / 2


def _scale_nodes(df: float, number: int) -> tuple[Floats, Floats]:
    """Factors by which the true spread may differ from the observed one, with weights."""
    if np.isinf(df):
        return np.ones(1), np.ones(1)
    quantiles, weights = _unit_nodes(number)
    return np.sqrt(df / special.chdtri(df, 1 - quantiles)), weights
