"""How much runs of one set-up differ from each other.

In:  the values of each cell of a series.
Out: a standard deviation and the degrees of freedom it rests on.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


class TooFewRunsError(ValueError):
    """No set-up of the series has two runs, so that no spread can be had."""

    def __init__(self) -> None:
        super().__init__("no set-up has two valid runs under this protocol")


@dataclass(frozen=True)
class Spread:
    """A run-to-run standard deviation, in the protocol's unit, and its degrees of freedom."""

    sd: float
    df: float


def mean_of_runs(values: Floats) -> float:
    """Arithmetic mean, the same whatever the order of the runs."""
    return math.fsum(values) / len(values)


def own_spread(values: Floats) -> float:
    """Standard deviation of the runs of one cell, NaN for a single run."""
    if len(values) < 2:  # noqa: PLR2004  two runs have one degree of freedom
        return math.nan
    return math.sqrt(_squares_around_mean(values) / (len(values) - 1))


def pooled_spread(values: Sequence[Floats]) -> Spread:
    """Run-to-run standard deviation shared by all cells of one series.

    Parameters
    ----------
    values : sequence of ndarray, shapes (n_i,)
        Valid runs of each cell, in the protocol's unit; cells with one run add nothing.

    Returns
    -------
    Spread
        Standard deviation (same unit) and its degrees of freedom, the sum of (n_i - 1).

    Raises
    ------
    TooFewRunsError
        If no cell has two runs.

    Notes
    -----
    Source: ISO 5725-2, repeatability variance. Squares are taken around each mean, never as a
    difference of sums: the short cut loses the digits of the certified data sets.
    """
    df = sum(len(runs) - 1 for runs in values)
    if df == 0:
        raise TooFewRunsError
    squares = math.fsum(_squares_around_mean(runs) for runs in values)
    return Spread(math.sqrt(squares / df), float(df))


def _squares_around_mean(values: Floats) -> float:
    mean = mean_of_runs(values)
    return math.fsum((value - mean) ** 2 for value in values)
