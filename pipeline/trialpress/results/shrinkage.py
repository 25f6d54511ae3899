"""What the true values of set-ups may be, seen as some of many with a spread of their own.

In:  means, and their errors: what each has to itself, and what several share.
Out: posterior distributions of the true values, for a few values of the spread between set-ups.

A mean that stands out of the others partly did so by luck. How much of the scatter of the means is
luck is estimated with them: mean = general mean + set-up + shared effects + error, all normal.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trialpress.results.mean_errors import MeanErrors
from trialpress.results.spread import Floats

RATIOS = 8
"""Values of the spread between set-ups that stand for its posterior."""

PATHS = 6
"""Most directions of what set-ups share; what is left of it counts as each set-up's own."""

_LOGITS = np.arange(-7.0, 20.0, 0.25)


@dataclass(frozen=True)
class Posterior:
    """True values of k set-ups, given how much they differ beside their errors.

    Value i is ``centre[i]`` + s (``own[i]`` * a standard normal of its own + ``paths[i]`` @
    standard normals that all share), but for a shift common to all; s squared is ``scale`` / a
    chi-square variable with ``df`` degrees of freedom, or 1 where they are infinite.
    """

    centre: Floats
    own: Floats
    paths: Floats
    scale: float
    df: float


def posteriors(mean: Floats, errors: MeanErrors) -> list[Posterior]:
    """Posteriors that stand, with equal weights, for the whole one.

    Parameters
    ----------
    mean : ndarray, shape (k,)
        Observed means, k at least 2.
    errors : MeanErrors
        Their errors.

    Returns
    -------
    list of Posterior
        ``RATIOS`` of them, at equally likely values of the spread between set-ups.

    Notes
    -----
    Source: the normal hierarchical model; Gelman et al., Bayesian Data Analysis, 5.4. The prior of
    the general mean is flat; that of the variance t2 between set-ups, beside a typical error
    variance v, is (v + t2) ** -1/2: flat in the variance where it is small (Morris and Tang, Stat.
    Sci. 26 (2011) 271) and in the standard deviation where it is large (Gelman, Bayesian Anal. 1
    (2006) 515), so that two or three set-ups are hardly drawn together. Of several priors it is the
    one that told chances nearest to what happened; ``tests/audit`` has the study. The scale of all
    errors is unknown with ``df`` degrees of freedom.
    """
    typical = float(np.median(errors.own))
    solved = [_solve(mean, errors, typical * ratio) for ratio in np.exp(_LOGITS).tolist()]
    heights = np.array([one.log_likelihood(errors.df) for one in solved])
    shares = 1 / (1 + np.exp(-_LOGITS))
    heights = heights + np.log(shares) - np.log(1 - shares) / 2
    weights = np.exp(heights - heights.max())
    reached = np.cumsum(weights) - weights / 2
    levels = (np.arange(RATIOS) + 0.5) / RATIOS * weights.sum()
    ratios = np.exp(np.interp(levels, reached, _LOGITS)).tolist()
    return [_solve(mean, errors, typical * ratio).posterior(errors) for ratio in ratios]


def best_linear_predictions(mean: Floats, errors: MeanErrors, between: float) -> Floats:
    """Predicted true values for one variance between set-ups, shape (k,).

    Notes
    -----
    Source: best linear unbiased prediction; Robinson, Stat. Sci. 6 (1991) 15.
    """
    return _solve(mean, errors, between).centre


@dataclass(frozen=True)
class _Solution:
    """The mixed model solved for one variance between set-ups.

    ``share`` is how much of the variance a mean has to itself lies between set-ups, ``covariance``
    that of the general mean and the shared effects, ``squares`` the weighted squares left over.
    """

    centre: Floats
    share: Floats
    covariance: Floats
    log_determinant: float
    squares: float

    def log_likelihood(self, df: float) -> float:
        """Restricted likelihood, the scale of all errors integrated out."""
        if np.isinf(df):
            return -(self.log_determinant + self.squares) / 2
        exponent = df + len(self.centre) - 1
        return float(-(self.log_determinant + exponent * np.log1p(self.squares / df)) / 2)

    def posterior(self, errors: MeanErrors) -> Posterior:
        """The distribution of the true values around ``centre``."""
        loads = np.column_stack([1 - self.share, -self.share[:, None] * errors.shared])
        paths = (loads - loads.mean(axis=0)) @ np.linalg.cholesky(self.covariance)
        along = paths @ np.linalg.eigh(paths.T @ paths).eigenvectors[:, ::-1]
        rest = np.sum(along[:, PATHS:] ** 2, axis=1)
        df = errors.df + len(self.centre) - 1
        scale = 1.0 if np.isinf(df) else errors.df + self.squares
        own = np.sqrt(self.share * errors.own + rest)
        return Posterior(self.centre, own, along[:, :PATHS], scale, df)


def _solve(mean: Floats, errors: MeanErrors, between: float) -> _Solution:
    """Henderson's mixed model equations, set-ups taken out first."""
    variance = between + errors.own
    design = np.column_stack([np.ones(len(mean)), errors.shared])
    weighted = design / variance[:, None]
    precision = design.T @ weighted + np.diag([0.0] + [1.0] * errors.shared.shape[1])
    effects = np.linalg.solve(precision, weighted.T @ mean)
    left = mean - design @ effects
    share = between / variance
    return _Solution(
        centre=effects[0] + share * left,
        share=share,
        covariance=np.asarray(np.linalg.inv(precision), dtype=np.float64),
        log_determinant=float(np.log(variance).sum() + np.linalg.slogdet(precision)[1]),
        squares=float(mean @ (left / variance)),
    )
