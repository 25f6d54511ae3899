"""Intervals of single means.

In:  means, their standard errors and degrees of freedom.
Out: two-sided t intervals.
"""

from __future__ import annotations

import numpy as np
from scipy import special

from trialpress.results.spread import Floats


def mean_interval(
    mean: Floats, standard_error: Floats, df: Floats, confidence: float
) -> tuple[Floats, Floats]:
    """Two-sided t interval of each mean.

    Parameters
    ----------
    mean, standard_error, df : ndarray, shape (k,)
        NaN in, NaN out.
    confidence : float
        Level of each interval by itself, such as 0.95.

    Returns
    -------
    tuple of ndarray, shapes (k,)
        Lower and upper end.

    Notes
    -----
    Source: JCGM 100:2008 (GUM), G.3.
    """
    half = special.stdtrit(df, (1 + confidence) / 2) * standard_error
    return np.asarray(mean - half), np.asarray(mean + half)
