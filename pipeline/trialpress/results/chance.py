"""The chance of being among the first N.

In:  means and their errors.
Out: a chance from 0 to 1 for each set-up, found by quadrature: no random numbers.

A value is in the cut where it lies above the N-th largest of the others. How many of the others lie
above a point is a sum of independent unequal trials (Poisson binomial), whose distribution is a
product of one factor a set-up.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from scipy import special

from trialpress.results.mean_errors import MeanErrors
from trialpress.results.shrinkage import Posterior, posteriors
from trialpress.results.spread import Floats

POINTS = 16
"""Points for what all set-ups share, in each posterior."""

FINE = (24, 96)
"""Nodes of the common spread, and cells of the grid on which the edge of the cut is followed."""

CELLS, COARSE = 48, 24
FAR = 6.0  # standard deviations
NEGLIGIBLE = 1e-12


def posterior_chance(mean: Floats, errors: MeanErrors, top_n: int) -> Floats:
    """Chance that the true value of each of k set-ups is among the ``top_n`` largest.

    Parameters
    ----------
    mean : ndarray, shape (k,)
        Observed means.
    errors : MeanErrors
        Their errors, with what they share.
    top_n : int
        Number of places in the cut.

    Returns
    -------
    ndarray, shape (k,)
        Chances between 0 and 1; they add up to min(top_n, k).

    Notes
    -----
    The true values are set-ups of one kind that differ by an estimated spread (``shrinkage``). What
    all share - the shifts of days, the scale of the errors - is taken at points that fill its
    distribution evenly, each together with its mirror image; given it, set-ups are independent.
    """
    if top_n >= len(mean):
        return np.ones(len(mean))
    found = posteriors(mean, errors)
    chances = [_chances(one, top_n, number * POINTS) for number, one in enumerate(found)]
    return _adding_up(np.mean(chances, axis=0), top_n)


def chance_in_top(
    mean: Floats,
    standard_error: Floats,
    df: float,
    top_n: int,
    *,
    nodes: tuple[int, int] = FINE,
) -> Floats:
    """The same for independent means without an opinion on how set-ups differ; plans compare by it.

    Parameters
    ----------
    mean, standard_error : ndarray, shape (k,)
        Standard errors above zero, from one spread.
    df : float
        Degrees of freedom of that spread; infinity where it is known.
    top_n : int
        Number of places in the cut.
    nodes : tuple of int
        As ``FINE``; fewer are faster and good enough to compare plans by.

    Returns
    -------
    ndarray, shape (k,)
        Chances between 0 and 1; they add up to min(top_n, k).

    Notes
    -----
    True means are taken to be jointly t-distributed around the observed ones (flat prior).
    """
    if top_n >= len(mean):
        return np.ones(len(mean))
    scale = np.ones((1, 1))
    if np.isfinite(df):
        middles = (np.arange(nodes[0]) + 0.5) / nodes[0]
        scale = np.sqrt(df / special.chdtri(df, middles))[:, None]
    sd = scale * standard_error
    chances = chance_of_independent(np.broadcast_to(mean, sd.shape), sd, top_n, nodes[1])
    return _adding_up(chances, top_n)


def _chances(posterior: Posterior, top_n: int, start: int) -> Floats:
    """Chances under one posterior, shape (k,)."""
    points = _even_points(start, 1 + posterior.paths.shape[1])
    points = np.vstack([points, np.column_stack([points[:, :1], 1 - points[:, 1:]])])
    scale = np.ones((len(points), 1))
    if np.isfinite(posterior.df):
        scale = np.sqrt(posterior.scale / special.chdtri(posterior.df, points[:, :1]))
    centre = posterior.centre + scale * (special.ndtri(points[:, 1:]) @ posterior.paths.T)
    return chance_of_independent(centre, scale * posterior.own, top_n, CELLS)


def _even_points(start: int, dimensions: int) -> Floats:
    """Points that fill the unit cube evenly, shape (POINTS, dimensions).

    Source: a Kronecker sequence by the powers of the root of x ** (d + 1) = x + 1, which is the
    golden ratio for d = 1 (Korobov sequences of algebraic numbers).
    """
    root = 2.0
    for _ in range(60):
        root = (1 + root) ** (1 / (dimensions + 1))
    steps = root ** -np.arange(1.0, dimensions + 1)
    number = np.arange(start + 1, start + POINTS + 1)
    return np.asarray((0.5 + number[:, None] * steps) % 1.0)


def chance_of_independent(centre: Floats, sd: Floats, top_n: int, cells: int) -> Floats:
    """Mean chance of each of k independent normal values to be among the ``top_n`` largest.

    Parameters
    ----------
    centre, sd : ndarray, shape (m, k)
        Of the values, in m cases that count the same.
    top_n : int
        Less than k.
    cells : int
        Of the grid that the edge of the cut is followed on.

    Returns
    -------
    ndarray, shape (k,)

    Notes
    -----
    The factors before and those after each set-up are multiplied up once, on one grid, so that the
    number of steps grows as k.
    """
    grid = _edge_of_cut(centre, sd, top_n, cells)
    above = _chances_above(centre, sd, grid)
    is_sure = above.min(axis=(1, 2)) > 1 - NEGLIGIBLE
    is_open = ~is_sure & (above.max(axis=(1, 2)) > NEGLIGIBLE)
    chances: Floats = is_sure.astype(np.float64)
    trials = above[is_open]
    fewer = _fewer_others(trials, top_n - int(is_sure.sum()))
    chances[is_open] = [_above_edge(*one) for one in zip(trials, fewer, strict=True)]
    return np.asarray(chances, dtype=np.float64)


def _above_edge(above: Floats, fewer: Floats) -> float:
    """Chance to lie above the edge, over its distribution function on the grid, mean over cases."""
    inside = np.sum((above[:, 1:] + above[:, :-1]) / 2 * np.diff(fewer, axis=1), axis=1)
    return float(np.mean(inside + above[:, 0] * fewer[:, 0]))


def _edge_of_cut(centre: Floats, sd: Floats, top_n: int, cells: int) -> Floats:
    """For each case, points among which the N-th largest of the others lies, (m, cells + 1).

    A coarse grid over all of its range tells where it mostly is; half of the points go there.
    """
    low = np.partition(centre - FAR * sd, -top_n - 1, axis=1)[:, -top_n - 1]
    high = np.partition(centre + FAR * sd, -top_n, axis=1)[:, -top_n]
    coarse = low[:, None] + (high - low)[:, None] * np.linspace(0.0, 1.0, COARSE + 1)
    fewer = _fewer_than(top_n, _chances_above(centre, sd, coarse))
    reached = np.linspace(0.0, 1.0, COARSE + 1) + fewer * 4
    steps = np.linspace(0.0, 1.0, cells + 1)
    return np.array([np.interp(steps * b[-1], b, x) for b, x in zip(reached, coarse, strict=True)])


def _chances_above(centre: Floats, sd: Floats, grid: Floats) -> Floats:
    """Chance of each value to lie above each point of the grid, shape (k, m, g)."""
    return np.asarray(special.ndtr((centre.T[:, :, None] - grid) / sd.T[:, :, None]))


def _fewer_than(limit: int, trials: Floats) -> Floats:
    """Mean of the chances that fewer than ``limit``, and that no more, of all trials happen."""
    counts = np.zeros((limit + 1, *trials.shape[1:]))
    counts[0] = 1.0
    for trial in trials:
        counts = _with_trial(counts, trial)
    return np.asarray(counts[:-1].sum(axis=0) + counts[-1] / 2)


def _fewer_others(trials: Floats, limit: int) -> Iterator[Floats]:
    """Chance that fewer than ``limit`` of the others happen, for each trial, shapes (m, g)."""
    none = np.zeros((limit, *trials.shape[1:]))
    none[0] = 1.0
    after = [none]
    for trial in trials[:0:-1]:
        after.append(_with_trial(after[-1], trial))
    before = none
    for trial in trials:
        fewer = np.cumsum(after.pop(), axis=0)[::-1]
        yield np.asarray(np.sum(before * fewer, axis=0))
        before = _with_trial(before, trial)


def _with_trial(counts: Floats, trial: Floats) -> Floats:
    """Chances of 0, 1, 2 ... happening, with one trial more."""
    stepped = counts * (1 - trial)
    stepped[1:] += counts[:-1] * trial
    return np.asarray(stepped)


def _adding_up(chances: Floats, top_n: int) -> Floats:
    """The same, less what the quadrature is off by, where chances are neither 0 nor 1."""
    doubt = chances * (1 - chances)
    if doubt.sum() == 0:
        return chances
    return np.asarray(chances + (top_n - chances.sum()) * doubt / doubt.sum())
