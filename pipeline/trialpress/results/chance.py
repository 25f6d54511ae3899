"""The chance of being among the first N.

In:  means and their errors.
Out: a chance from 0 to 1 for each set-up, found by quadrature: the same every time.

A value is in the cut where it lies above the N-th largest of the others. How many of the others lie
above a point is a sum of independent unequal trials (Poisson binomial), whose distribution is a
product of one factor a set-up.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import special

from trialpress.cache import kept
from trialpress.results.mean_errors import MeanErrors
from trialpress.results.shrinkage import Posterior, posteriors
from trialpress.results.spread import Floats

FEWEST_POINTS, MOST_POINTS = 32, 2048
"""Points for what set-ups share; those of all set-ups together are at most ``POINTS_IN_ALL``.

Where there are many set-ups each has a small chance, and what it may be off by is small with it.
"""

POINTS_IN_ALL = 25_000
FINE = 8
"""Values of the scale of all errors where set-ups share nothing else."""

FAR = 5.0  # standard deviations
FEWEST_CELLS, MOST_CELLS = 24, 96
CELLS_PER_SD = 2.0
NEGLIGIBLE = 1e-12
LARGEST = 10_000_000
"""Figures that are kept at once while one set-up after the other is left out."""

SEED = 20310302
TAIL = 0.319381530, -0.356563782, 1.781477937, -1.821255978, 1.330274429
Singles = NDArray[np.float32]


@dataclass(frozen=True)
class Cases:
    """Cases in which the values of k set-ups are independent and normal.

    ``centre`` and ``sd`` have the shape (m, k); ``weight``, shape (m,), adds up to 1.
    """

    centre: Floats
    sd: Floats
    weight: Floats

    def parts(self, size: int) -> Iterator[Cases]:
        """The same, no more than ``size`` cases at once."""
        for start in range(0, len(self.weight), size):
            part = slice(start, start + size)
            yield Cases(self.centre[part], self.sd[part], self.weight[part])


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
        Chances between 0 and 1, right to about 0.001, with many shared days 0.0015; they add up
        to min(top_n, k).

    Notes
    -----
    The true values are set-ups of one kind that differ by an estimated spread (``shrinkage``). What
    all share - the shifts of days, the scale of the errors - is taken at points that fill its
    distribution evenly (Sobol's, scrambled), each together with its mirror image; given it, set-ups
    are independent.
    """
    if top_n >= len(mean):
        return np.ones(len(mean))
    given = (mean, errors.own, errors.shared, np.array([errors.df, top_n], dtype=np.float64))
    parts = (part for array in given for part in (repr(array.shape).encode(), array.tobytes()))
    chances = kept("chance", parts, lambda: _estimated(mean, errors, top_n).tobytes())
    return np.frombuffer(chances).copy()


def _estimated(mean: Floats, errors: MeanErrors, top_n: int) -> Floats:
    points = min(max(POINTS_IN_ALL // len(mean), FEWEST_POINTS), MOST_POINTS)
    chances, start = np.zeros(len(mean)), 0
    for posterior in posteriors(mean, errors):
        number = max(round(points * posterior.weight), 1)
        cases = _cases(posterior, start, number)
        chances += posterior.weight * chance_of_independent(cases, top_n)
        start += number
    return _adding_up(chances, top_n)


def chance_in_top(
    mean: Floats, standard_error: Floats, df: float, top_n: int, *, scales: int = FINE
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
    scales : int
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
    flat = Posterior(1.0, mean, standard_error, np.zeros((len(mean), 0)), df, df)
    return _adding_up(chance_of_independent(_cases(flat, 0, scales), top_n), top_n)


def _cases(posterior: Posterior, start: int, number: int) -> Cases:
    """Cases that stand for one posterior; points ``start`` and following of the sequence."""
    paths = posterior.paths.shape[1]
    if paths:
        normals = _even_points(1 + paths)[start : start + number]
        normals = np.vstack([normals, np.column_stack([normals[:, :1], -normals[:, 1:]])])
        weight = np.full(len(normals), 1 / len(normals))
    else:
        nodes, weights = np.polynomial.hermite_e.hermegauss(min(number, FINE))
        normals, weight = nodes[:, None], weights / weights.sum()
    scale = np.ones((len(normals), 1))
    if np.isfinite(posterior.df):
        drawn = special.chdtri(posterior.df, special.ndtr(normals[:, :1]))
        scale = np.sqrt(posterior.scale / drawn)
    centre = posterior.centre + scale * (normals[:, 1:] @ posterior.paths.T)
    return Cases(centre, scale * posterior.own, weight)


@lru_cache(maxsize=16)
def _even_points(dimensions: int) -> Floats:
    """Standard normals that fill their space evenly, shape (2 * MOST_POINTS, dimensions).

    Source: Sobol's sequence, scrambled (Owen, J. Complexity 14 (1998) 466), by scipy.
    """
    points = kept("points", [str(dimensions).encode()], lambda: _drawn(dimensions).tobytes())
    return np.frombuffer(points).reshape(2 * MOST_POINTS, dimensions)


def _drawn(dimensions: int) -> Floats:
    from scipy.stats import qmc  # noqa: PLC0415  it takes a third of a second to import

    sequence = qmc.Sobol(dimensions, rng=np.random.default_rng(SEED))
    return np.asarray(special.ndtri(sequence.random(2 * MOST_POINTS)))


def chance_of_independent(cases: Cases, top_n: int) -> Floats:
    """Chance of each of k independent normal values to be among the ``top_n`` largest.

    Parameters
    ----------
    cases : Cases
        Over whose weights the mean is taken.
    top_n : int
        Less than k.

    Returns
    -------
    ndarray, shape (k,)

    Notes
    -----
    The chance is that of the other values to be fewer than N above x, times the density of the own
    value at x, over all x. The trapezoid rule on an even grid is exact to many digits for such
    smooth curves. The factors before and those after each set-up are multiplied up once, so that
    the number of steps grows as k.
    """
    size = max(LARGEST // (cases.centre.shape[1] * top_n * FEWEST_CELLS), 1)
    parts = [_chances(part, top_n) for part in cases.parts(size)]
    return np.asarray(np.sum(parts, axis=0), dtype=np.float64)


def _chances(cases: Cases, top_n: int) -> Floats:
    """The chances in a part of the cases, times their weights."""
    centre, sd = cases.centre, cases.sd
    low = np.partition(centre - FAR * sd, -top_n - 1, axis=1)[:, -top_n - 1]
    high = np.partition(centre + FAR * sd, -top_n, axis=1)[:, -top_n]
    is_sure = (centre - FAR * sd >= high[:, None]).all(axis=0)
    is_open = ~is_sure & (centre + FAR * sd > low[:, None]).any(axis=0)
    chances = is_sure * cases.weight.sum()
    grid = _Grid.over(low, high, sd[:, is_open])
    around = grid.around(centre[:, is_open], sd[:, is_open])
    fewer = _fewer_others(around.above, top_n - int(is_sure.sum()))
    inside = [np.einsum("mg,mg->m", *pair) for pair in zip(around.density, fewer, strict=True)]
    chances[is_open] = (np.array(inside, dtype=np.float64) + around.beyond) @ cases.weight
    return np.asarray(chances, dtype=np.float64)


@dataclass(frozen=True)
class _Around:
    """Of each value: the chance to lie above each point of the grid and its density there.

    ``above`` and ``density`` (times the step), shape (k, m, g), in single precision, as they take
    most of the time; ``beyond``, shape (k, m), is the sum of what the density would go on with
    beyond the last point.
    """

    above: Singles
    density: Singles
    beyond: Floats


@dataclass(frozen=True)
class _Grid:
    """For each of m cases, even points over all that the N-th largest of others can be."""

    low: Floats
    step: Floats
    cells: int

    @classmethod
    def over(cls, low: Floats, high: Floats, sd: Floats) -> _Grid:
        """A grid as fine as the smallest ``sd`` asks for, if not too fine."""
        asked = math.ceil(float(np.max((high - low)[:, None] / sd)) * CELLS_PER_SD)
        cells = min(max(asked, FEWEST_CELLS), MOST_CELLS)
        return cls(low, (high - low) / cells, cells)

    def around(self, centre: Floats, sd: Floats) -> _Around:
        """Values seen on the grid; none is followed more finely than half a step."""
        sd = np.maximum(sd, self.step[:, None] / 2)
        first, relative = ((centre - self.low[:, None]) / sd).T, (self.step[:, None] / sd).T
        last = first - relative * (self.cells + 0.5)  # Euler-Maclaurin from half a step beyond
        slope = last * np.exp(-(last**2) / 2) / math.sqrt(2 * math.pi)
        beyond = special.ndtr(last) + relative**2 / 24 * slope
        start, stride = (one.astype(np.float32)[:, :, None] for one in (first, relative))
        away: Singles = start - np.multiply(stride, np.arange(self.cells + 1), dtype=np.float32)
        density = standard_density(away)
        return _Around(distribution(away, density), stride * density, beyond)


def standard_density(x: Singles) -> Singles:
    """The density of a standard normal value."""
    return np.asarray(np.exp(x * x * np.float32(-0.5)) * np.float32(1 / math.sqrt(2 * math.pi)))


def distribution(x: Singles, density: Singles) -> Singles:
    """The chance of a standard normal value to lie below x, where its density is known.

    Notes
    -----
    Right to 3e-7 in single precision, four times as fast as the exact routine. Source: Abramowitz
    and Stegun, Handbook of Mathematical Functions (1964), 26.2.17 (7.5e-8 by itself).
    """
    part = 1 / (1 + np.float32(0.2316419) * np.abs(x))
    tail = part * np.float32(TAIL[-1])
    for coefficient in TAIL[-2::-1]:
        tail += np.float32(coefficient)
        tail *= part
    tail *= density
    return np.asarray(np.where(x > 0, 1 - tail, tail))


def _fewer_others(trials: Singles, limit: int) -> Iterator[Singles]:
    """Chance that fewer than ``limit`` of the others happen, for each trial, shapes (m, g).

    Those before a trial are counted out one by one, those after it up to a number: chances of
    0, of at most 1, of at most 2 ... take one trial more in the same way.
    """
    shape = (limit, *trials.shape[1:])
    after: list[Singles] = [np.ones(shape, dtype=np.float32)]
    for trial in trials[:0:-1]:
        after.append(_with_trial(after[-1], trial))
    before: Singles = np.zeros(shape, dtype=np.float32)
    before[0] = 1.0
    for trial in trials:
        yield np.asarray(np.einsum("jmg,jmg->mg", before, after.pop()[::-1]))
        before = _with_trial(before, trial)


def _with_trial(counts: Singles, trial: Singles) -> Singles:
    """Chances of 0, 1, 2 ... happening, or of at most so many, with one trial more."""
    happening = counts * trial
    stepped = counts - happening
    stepped[1:] += happening[:-1]
    return np.asarray(stepped)


def _adding_up(chances: Floats, top_n: int) -> Floats:
    """The same, less what the quadrature is off by, where chances are neither 0 nor 1."""
    doubt = chances * (1 - chances)
    if doubt.sum() == 0:
        return chances
    return np.asarray(chances + (top_n - chances.sum()) * doubt / doubt.sum())
