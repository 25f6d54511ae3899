"""What makes means err, taken apart: what each has to itself, and what several share.

In:  the cells of a series, what its days tell, and the variances of its means.
Out: ``MeanErrors``, on which comparisons, chances and the overall rest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trialpress.results.cells import Cell, all_days, all_setups
from trialpress.results.days import DaySpread, day_weights, mean_parts
from trialpress.results.spread import Floats


@dataclass(frozen=True)
class MeanErrors:
    """Errors of k means.

    ``own`` is the variance that each mean has to itself, shape (k,), above zero. ``shared`` has a
    column for each effect that several means may share, such as the shift of a day: what one
    standard deviation of it does to each mean, shape (k, f). ``df`` are the degrees of freedom of
    the one spread that all of it is scaled by; infinity where that is known.
    """

    own: Floats
    shared: Floats
    df: float

    def variance_of_differences(self) -> Floats:
        """Variance of the difference of every two means, shape (k, k)."""
        inner = self.shared @ self.shared.T
        held = np.diag(inner)
        apart = np.maximum(held[:, None] + held[None, :] - 2 * inner, 0.0)
        return np.asarray(self.own[:, None] + self.own[None, :] + apart)


def errors_of_means(
    cells: Sequence[Cell], variance: Floats, day: DaySpread, df: float
) -> MeanErrors:
    """Take the shifts of days out of the variances of the means of a series.

    Parameters
    ----------
    cells : sequence of Cell
        The k cells of the series.
    variance : ndarray, shape (k,)
        Of their means, with all that days bring in; NaN where it is not known.
    day : DaySpread
        What the days of the series tell.
    df : float
        Degrees of freedom of the spread of the runs.

    Notes
    -----
    Where sittings are told apart the means rest on their mean square, and on its degrees of freedom
    (exactly so in a balanced layout).
    """
    setups, days = all_setups(cells), all_days(cells)
    shared = np.zeros((len(cells), 0))
    if day.day_variance > 0:
        shared = day_weights(setups, days) * np.sqrt(day.day_variance)
    own = variance - mean_parts(setups, days).days * day.day_variance
    return MeanErrors(own, shared, day.sitting.df if day.sitting_variance > 0 else df)
