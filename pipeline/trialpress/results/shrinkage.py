"""What the true values of set-ups may be, seen as some of many with a spread of their own.

In:  means, and their errors: what each has to itself, and what several share.
Out: posterior distributions of the true values, for a few values of the spread between set-ups.

A mean that stands out of the others partly did so by luck. How much of the scatter of the means is
luck is estimated with them: mean = general mean + set-up + shared effects + error, all normal.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy import special
from scipy.linalg import cho_solve, solve_triangular

from trialpress.results.mean_errors import MeanErrors
from trialpress.results.spread import Floats

if TYPE_CHECKING:
    from scipy import sparse

RATIOS = 6
"""Values of the spread between set-ups that stand for its posterior."""

_COARSE = np.arange(-8.0, 20.0)
_FINE = 40
_LOW = 25.0  # below the peak, in logarithms: nothing there counts
_NO_MORE = 1e-9
_SMALL = 20_000
SMALLEST_PATH = 1e-6
"""Of what set-ups share, beside what each has to itself, to count."""


@dataclass(frozen=True)
class Posterior:
    """True values of k set-ups, given how much they differ beside their errors.

    Value i is ``centre[i]`` + s (``own[i]`` * a standard normal of its own + ``paths[i]`` @
    standard normals that all share), but for a shift common to all; s squared is ``scale`` / a
    chi-square variable with ``df`` degrees of freedom, or 1 where they are infinite. ``weight`` is
    its part of the whole posterior.
    """

    weight: float
    centre: Floats
    own: Floats
    paths: Floats
    scale: float
    df: float


def posteriors(mean: Floats, errors: MeanErrors) -> list[Posterior]:
    """Posteriors that stand for the whole one.

    Parameters
    ----------
    mean : ndarray, shape (k,)
        Observed means, k at least 2.
    errors : MeanErrors
        Their errors.

    Returns
    -------
    list of Posterior
        Up to ``RATIOS`` of them, whose weights add up to 1.

    Notes
    -----
    Source: the normal hierarchical model; Gelman et al., Bayesian Data Analysis, 5.4. The prior of
    the general mean is flat; that of the spread between set-ups is ``log_prior``. The scale of all
    errors is unknown with ``df`` degrees of freedom. Their values are a Gauss rule of the posterior
    in the root of the share of the variance that lies between set-ups, in which chances are smooth.
    """
    model = _Model.of(mean, errors)
    logs = np.linspace(*_reached(_COARSE, _heights(model, _COARSE)), _FINE)
    heights = _heights(model, logs)
    roots, weights = _gauss_rule(np.sqrt(_share(logs)), np.exp(heights - heights.max()))
    ratios = roots**2 / (1 - roots**2)
    return [
        model.solve(model.typical * ratio).posterior(model, weight)
        for ratio, weight in zip(ratios.tolist(), weights.tolist(), strict=True)
    ]


def log_prior(logs: Floats) -> Floats:
    """Logarithm of the prior density of the logarithm of t2 / v, but for a constant.

    t2 is the variance between set-ups, v a typical error variance.

    Notes
    -----
    The density of t2 is that of t2 ** -1/4 (v + t2) ** -1/2. Near 0 it lies half-way between flat
    in the variance (Morris and Tang, Stat. Sci. 26 (2011) 271) and flat in the standard deviation
    (Gelman, Bayesian Anal. 1 (2006) 515), far out between the latter and flat in the logarithm, so
    that two or three set-ups are hardly drawn together. Of some eighty priors it is among those
    that told chances nearest to what happened; ``tests/audit`` has the study.
    """
    return np.asarray(0.75 * logs - 0.5 * np.logaddexp(0.0, logs))


def _share(logs: Floats) -> Floats:
    """The share of variance that lies between set-ups, from the logarithm of the ratio."""
    return np.asarray(special.expit(logs))


def _heights(model: _Model, logs: Floats) -> Floats:
    """Logarithm of the posterior density, but for a constant."""
    ratios = (model.typical * np.exp(logs)).tolist()
    likelihoods = [model.solve(ratio).log_likelihood(model.errors.df) for ratio in ratios]
    return np.array(likelihoods) + log_prior(logs)


def _reached(logs: Floats, heights: Floats) -> tuple[float, float]:
    """Ends of where the posterior is not negligible, one step further at each."""
    counts = np.flatnonzero(heights > heights.max() - _LOW)
    last = len(logs) - 1
    return float(logs[max(counts[0] - 1, 0)]), float(logs[min(counts[-1] + 1, last)])


def _gauss_rule(values: Floats, weights: Floats) -> tuple[Floats, Floats]:
    """A few values and weights with the moments of many, by as many as there are of both.

    Source: Golub and Welsch, Math. Comp. 23 (1969) 221, the recurrence found by Lanczos's method
    (Gautschi, Orthogonal Polynomials, 2.2.3.2), each step made orthogonal to all before.
    """
    base = [np.sqrt(weights / weights.sum())]
    diagonal, beside = [], []
    for _ in range(RATIOS):
        diagonal.append(float(base[-1] @ (values * base[-1])))
        left = values * base[-1]
        for direction in (*base, *base):
            left = left - (direction @ left) * direction
        size = float(np.sqrt(left @ left))
        if size < _NO_MORE:
            break
        beside.append(size)
        base.append(left / size)
    inner = beside[: len(diagonal) - 1]
    found = np.linalg.eigh(np.diag(diagonal) + np.diag(inner, 1) + np.diag(inner, -1))
    return found.eigenvalues, found.eigenvectors[0] ** 2


def best_linear_predictions(mean: Floats, errors: MeanErrors, between: float) -> Floats:
    """Predicted true values for one variance between set-ups, shape (k,).

    Notes
    -----
    Source: best linear unbiased prediction; Robinson, Stat. Sci. 6 (1991) 15.
    """
    return _Model.of(mean, errors).solve(between).centre


@dataclass(frozen=True)
class _Model:
    """Means and errors; ``design`` has a column of ones and those of ``errors.shared``.

    Few set-ups share any one day, so that a large one is kept without its zeros.
    """

    mean: Floats
    errors: MeanErrors
    design: Floats | sparse.csr_array

    @classmethod
    def of(cls, mean: Floats, errors: MeanErrors) -> _Model:
        design = np.column_stack([np.ones(len(mean)), errors.shared])
        if design.size <= _SMALL:
            return cls(mean, errors, design)
        from scipy import sparse  # noqa: PLC0415  only large benches need it

        return cls(mean, errors, sparse.csr_array(design))

    @property
    def typical(self) -> float:
        """A typical error variance."""
        return float(np.median(self.errors.own))

    def _weighted(self, weights: Floats) -> tuple[Floats | sparse.csr_array, Floats]:
        """The design with its rows weighted, and its product with the design."""
        if isinstance(self.design, np.ndarray):
            weighted = self.design * weights
            return weighted, np.asarray(self.design.T @ weighted, dtype=np.float64)
        few = self.design.multiply(weights).tocsr()
        return few, np.asarray((self.design.T @ few).toarray(), dtype=np.float64)

    def solve(self, between: float) -> _Solution:
        """Henderson's mixed model equations, set-ups taken out first."""
        variance = between + self.errors.own
        weighted, precision = self._weighted(1 / variance[:, None])
        precision += np.diag([0.0] + [1.0] * self.errors.shared.shape[1])
        lower: Floats = np.asarray(np.linalg.cholesky(precision), dtype=np.float64)
        middle = float(self.mean.mean())  # taken off, or large means with small errors lose digits
        effects = cho_solve((lower, True), weighted.T @ (self.mean - middle))
        left = self.mean - middle - self.design @ effects
        share = between / variance
        return _Solution(
            centre=middle + effects[0] + share * left,
            share=share,
            lower=lower,
            log_determinant=float(np.log(variance).sum() + 2 * np.log(np.diag(lower)).sum()),
            squares=float(left @ (left / variance) + effects[1:] @ effects[1:]),
        )


@dataclass(frozen=True)
class _Solution:
    """The mixed model solved for one variance between set-ups.

    ``share`` is how much of the variance a mean has to itself lies between set-ups, ``lower`` the
    Cholesky factor of the precision of the general mean and the shared effects, ``squares`` the
    weighted squares left over, those of the shared effects with them.
    """

    centre: Floats
    share: Floats
    lower: Floats
    log_determinant: float
    squares: float

    def log_likelihood(self, df: float) -> float:
        """Restricted likelihood, the scale of all errors integrated out."""
        if np.isinf(df):
            return -(self.log_determinant + self.squares) / 2
        exponent = df + len(self.centre) - 1
        return float(-(self.log_determinant + exponent * np.log1p(self.squares / df)) / 2)

    def posterior(self, model: _Model, weight: float) -> Posterior:
        """The distribution of the true values around ``centre``."""
        errors = model.errors
        loads = np.column_stack([1 - self.share, -self.share[:, None] * errors.shared])
        paths = solve_triangular(self.lower, (loads - loads.mean(axis=0)).T, lower=True).T
        own = np.sqrt(self.share * errors.own)
        counts = np.abs(paths).max(axis=0) > SMALLEST_PATH * np.median(own)
        df = errors.df + len(self.centre) - 1
        scale = 1.0 if np.isinf(df) else errors.df + self.squares
        return Posterior(weight, self.centre, own, paths[:, counts], scale, df)
