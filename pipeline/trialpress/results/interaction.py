"""How differently set-ups take to different floors.

In:  logarithms of means, set-ups by series, and their error variances.
Out: the variance of the set-up x floor interaction.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trialpress.results.spread import Floats


@dataclass(frozen=True)
class Interaction:
    """The variance of an interaction, 0 where its estimate is not above 0, and its df."""

    variance: float
    mean_square: float
    df: float


def interaction_variance(logs: Floats, error_variance: Floats) -> Interaction:
    """Set-up x floor variance of a complete table.

    Parameters
    ----------
    logs : ndarray, shape (k, m)
        Natural logarithms of the means of k set-ups in m series; k and m at least 2.
    error_variance : ndarray, shape (k, m)
        Squared standard errors of those logarithms.

    Returns
    -------
    Interaction
        Variance between set-ups of the same strength from one floor to another, beyond error.

    Notes
    -----
    Source: two-way analysis of variance without replication (ISO 5725 uses the same moments): the
    mean square of the residuals has the expectation interaction variance + mean error variance.
    """
    residual = logs - logs.mean(axis=1, keepdims=True) - logs.mean(axis=0) + logs.mean()
    df = (logs.shape[0] - 1) * (logs.shape[1] - 1)
    mean_square = float(np.sum(residual**2)) / df
    return Interaction(max(mean_square - float(error_variance.mean()), 0.0), mean_square, float(df))
