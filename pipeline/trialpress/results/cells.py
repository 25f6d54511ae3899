"""What goes into the working-out of a series, and what every method of it gives back.

In:  nothing.
Out: ``Cell``, ``Means`` and the views over a series that all methods need.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from trialpress.results.days import Integers
from trialpress.results.spread import Floats


@dataclass(frozen=True)
class Cell:
    """All valid runs of one set-up in one series; arrays of shape (n,).

    ``u_value`` is the standard uncertainty of each reading without its shared part, ``u_shared``
    the part that repeating does not average out; NaN where not known. ``days`` counts the days of
    the series from 0. ``tries`` is what a share was counted from; NaN where values are no shares.
    """

    setup: str
    values: Floats
    u_value: Floats
    u_shared: Floats
    days: Integers
    tries: Floats

    @property
    def n(self) -> int:
        """Number of runs."""
        return len(self.values)

    @property
    def reading_error(self) -> float:
        """Standard uncertainty of the mean from its readings alone; NaN where not known."""
        return math.sqrt(math.fsum(self.u_value**2)) / self.n

    @property
    def shared_error(self) -> float:
        """Shared part for the mean; where not known it adds nothing, and the flags say so."""
        return math.fsum(self.u_shared[~np.isnan(self.u_shared)]) / self.n


@dataclass(frozen=True)
class Means:
    """Means of k cells with their uncertainty, every array of shape (k,).

    ``sd`` is a cell's own spread, NaN for a single run. ``standard_error`` is that of comparisons
    within the series. ``interval_se`` and ``df`` belong to the interval of the mean by itself and
    include what all runs on an instrument share.
    """

    mean: Floats
    sd: Floats
    standard_error: Floats
    interval_se: Floats
    df: Floats
    low: Floats
    high: Floats

    def within(self, lowest: float | None, highest: float | None) -> Means:
        """The same with the ends of intervals cut at what no value can pass; means stay."""
        return replace(
            self,
            low=self.low if lowest is None else np.maximum(self.low, lowest),
            high=self.high if highest is None else np.minimum(self.high, highest),
        )


def run_counts(cells: Sequence[Cell]) -> Floats:
    """Number of runs of each cell, shape (k,)."""
    return np.array([cell.n for cell in cells], dtype=np.float64)


def all_values(cells: Sequence[Cell]) -> Floats:
    """Every run of the series, shape (n,)."""
    return np.concatenate([cell.values for cell in cells])


def all_days(cells: Sequence[Cell]) -> Integers:
    """The day of every run, counted from 0 without gaps, shape (n,)."""
    days = np.concatenate([cell.days for cell in cells])
    return np.asarray(np.unique(days, return_inverse=True)[1], dtype=np.int64)


def all_setups(cells: Sequence[Cell]) -> Integers:
    """The index of the cell of every run, shape (n,)."""
    return np.repeat(np.arange(len(cells), dtype=np.int64), [cell.n for cell in cells])
