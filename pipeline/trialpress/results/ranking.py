"""One series worked out: from the runs of each set-up to standings.

In:  the runs of each set-up of a series, and the rules of its protocol.
Out: a ``Ranking``: arrays over set-ups, unrounded; ``publishing`` turns it into rows.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trialpress.results.chance import chance_in_top
from trialpress.results.interval import mean_interval
from trialpress.results.places import Places, place_range
from trialpress.results.separation import Differences, simultaneous_differences
from trialpress.results.spread import (
    Floats,
    Spread,
    TooFewRunsError,
    mean_of_runs,
    own_spread,
    pooled_spread,
)


@dataclass(frozen=True)
class Cell:
    """All valid runs of one set-up in one series.

    ``u_value`` is the standard uncertainty of each reading without its shared part, ``u_shared``
    the part that repeating does not average out; NaN where not known. All of shape (n,).
    """

    setup: str
    values: Floats
    u_value: Floats
    u_shared: Floats


@dataclass(frozen=True)
class Rules:
    """What the protocol and the bench say about ranking one series."""

    higher_is_better: bool
    confidence: float
    top_n: int


@dataclass(frozen=True)
class Means:
    """Means of k cells with their uncertainty, every array of shape (k,).

    ``standard_error`` is that of comparisons within the series. ``interval_se`` and ``df`` belong
    to the interval of the mean by itself and include what all runs on an instrument share.
    """

    mean: Floats
    sd: Floats
    standard_error: Floats
    interval_se: Floats
    df: Floats
    low: Floats
    high: Floats


@dataclass(frozen=True)
class Ranking:
    """A series worked out; arrays of shape (k,) in the order of ``cells``.

    Without a spread the intervals are NaN, every place is possible and ``why`` says so.
    """

    cells: tuple[Cell, ...]
    spread: Spread | None
    means: Means
    differences: Differences
    place_best: Places
    place_worst: Places
    chance_top: Floats
    why: str | None


def rank(cells: Sequence[Cell], rules: Rules) -> Ranking:
    """Work out one series.

    Parameters
    ----------
    cells : sequence of Cell
        At least one; each with at least one run.
    rules : Rules
        Direction, confidence and size of the top cut.

    Returns
    -------
    Ranking
        Cells in the order given.
    """
    spread, why = _spread_of(cells)
    means = cell_means(cells, spread, rules.confidence)
    df = spread.df if spread else math.nan
    if spread is None:
        nothing = np.full((len(cells), len(cells)), np.nan)
        centre = means.mean[:, None] - means.mean[None, :]
        differences = Differences(centre, nothing, nothing)
    else:
        differences = simultaneous_differences(
            means.mean, means.standard_error, df, rules.confidence
        )
    better = differences.is_larger if rules.higher_is_better else differences.is_smaller
    best, worst = place_range(better)
    chance = np.full(len(cells), np.nan)
    if spread is not None and bool(np.all(means.standard_error > 0)):
        sign = 1.0 if rules.higher_is_better else -1.0
        chance = chance_in_top(sign * means.mean, means.standard_error, df, rules.top_n)
    return Ranking(tuple(cells), spread, means, differences, best, worst, chance, why)


def cell_means(cells: Sequence[Cell], spread: Spread | None, confidence: float) -> Means:
    """Means of the cells with the spread they share.

    The scatter of runs already holds the error of reading, which is not added again; but no cell
    is surer than its readings. What all runs on one instrument share is added to the interval of
    the mean, where it is known.
    """
    mean = np.array([mean_of_runs(cell.values) for cell in cells])
    sd = np.array([own_spread(cell.values) for cell in cells])
    if spread is None:
        unknown = np.full(len(cells), np.nan)
        return Means(mean, sd, unknown, unknown, unknown, unknown, unknown)
    from_runs = np.array([spread.sd / math.sqrt(len(cell.values)) for cell in cells])
    standard_error = np.fmax(from_runs, np.array([_reading_error(cell) for cell in cells]))
    shared = np.array([_shared_error(cell) for cell in cells])
    interval_se = np.hypot(standard_error, shared)
    df = _effective_df(standard_error, interval_se, spread.df)
    low, high = mean_interval(mean, interval_se, df, confidence)
    return Means(mean, sd, standard_error, interval_se, df, low, high)


def _spread_of(cells: Sequence[Cell]) -> tuple[Spread | None, str | None]:
    try:
        spread = pooled_spread([cell.values for cell in cells])
    except TooFewRunsError as error:
        return None, str(error)
    if spread.sd == 0 and not all(_reading_error(cell) > 0 for cell in cells):
        return (
            None,
            "all runs of every set-up gave the same value, and their readings' error is not known",
        )
    return spread, None


def _reading_error(cell: Cell) -> float:
    """Standard uncertainty of the cell's mean from its readings alone; NaN where not known."""
    return math.sqrt(math.fsum(cell.u_value**2)) / len(cell.values)


def _shared_error(cell: Cell) -> float:
    """Shared part for the mean; where not known it adds nothing, and the cell's flags say so."""
    known = cell.u_shared[~np.isnan(cell.u_shared)]
    return math.fsum(known) / len(cell.values)


def _effective_df(standard_error: Floats, interval_se: Floats, df: float) -> Floats:
    """Welch-Satterthwaite with the shared part taken as exactly known (GUM, G.2b)."""
    with np.errstate(divide="ignore", invalid="ignore"):
        effective = df * (interval_se / standard_error) ** 4
    return np.asarray(np.where(standard_error > 0, effective, df))
