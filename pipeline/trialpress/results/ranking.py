"""One series worked out: from the runs of each set-up to places that cannot be ruled out.

In:  the runs of each set-up of a series, and the rules of its protocol and bench.
Out: a ``Ranking``: arrays over set-ups, unrounded; ``publishing`` turns it into rows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from trialpress.results.cells import (
    Cell,
    Means,
    all_days,
    all_setups,
    all_values,
    run_counts,
)
from trialpress.results.chance import posterior_chance
from trialpress.results.days import NO_DAYS, DaySpread, Parts, between_day_spread, mean_parts
from trialpress.results.mean_errors import errors_of_means
from trialpress.results.metric import (
    metric_differences,
    metric_means,
    scatter_of_cells,
    series_spread,
    spread_of_runs,
    stands_out,
)
from trialpress.results.places import Places, place_range
from trialpress.results.records import NoResult
from trialpress.results.separation import Booleans, Differences, unknown_differences
from trialpress.results.shares import (
    Dispersion,
    series_dispersion,
    share_differences,
    share_means,
    share_spread_of_runs,
)
from trialpress.results.spread import (
    Scatter,
    Spread,
    TooFewRunsError,
    is_unusual,
    mean_of_runs,
    own_spread,
)


@dataclass(frozen=True)
class Rules:
    """What the protocol and the bench say about ranking one series.

    ``is_share`` is true for counts and grades. ``single_runs_open`` takes set-ups with one run out
    of every separation. ``lowest`` and ``highest`` are what values cannot pass, if anything:
    there the intervals of means end.
    """

    higher_is_better: bool
    confidence: float
    top_n: int
    is_share: bool = False
    single_runs_open: bool = False
    lowest: float | None = None
    highest: float | None = None


@dataclass(frozen=True)
class Ranking:
    """A series worked out; arrays of shape (k,) in the order of ``cells``.

    ``spread`` is set for measured values, ``dispersion`` for shares. Where neither can be had the
    intervals are NaN, every place is possible and ``why`` says so.
    """

    cells: tuple[Cell, ...]
    spread: Spread | None
    dispersion: Dispersion | None
    day: DaySpread
    means: Means
    differences: Differences
    place_best: Places
    place_worst: Places
    is_unusual: Booleans
    why: str | None
    rules: Rules

    @cached_property
    def chance_top(self) -> np.typing.NDArray[np.float64]:
        """Chances of the cut, worked out when they are asked for; NaN where a mean has no error."""
        unknown = np.full(len(self.cells), np.nan)
        known = self.spread or self.dispersion
        if known is None:
            return unknown
        variance = _variance(self.cells, self.means, known, self.day)
        errors = errors_of_means(self.cells, variance, self.day, known.df)
        if not bool(np.all(errors.own > 0)):
            return unknown
        sign = 1.0 if self.rules.higher_is_better else -1.0
        return posterior_chance(sign * self.means.mean, errors, self.rules.top_n)

    @cached_property
    def parts(self) -> Parts:
        """Sittings and days in each mean."""
        return mean_parts(all_setups(self.cells), all_days(self.cells))

    @cached_property
    def scatter(self) -> Scatter:
        """How much the runs of each cell scatter by themselves."""
        return scatter_of_cells(self.cells, self.day)

    @cached_property
    def rests_on_own(self) -> Booleans:
        """Where measured values have an interval that rests on the cell's own spread."""
        if self.spread is None:
            return np.zeros(len(self.cells), dtype=np.bool_)
        return stands_out(self.scatter, self.spread)

    @cached_property
    def spread_of_runs(self) -> np.typing.NDArray[np.float64]:
        """How far runs of each cell scatter, as its interval has it; NaN where it is not known."""
        if self.spread is not None:
            return spread_of_runs(self.scatter, self.spread)
        if self.dispersion is not None:
            return share_spread_of_runs(self.cells, self.dispersion)
        return np.full(len(self.cells), np.nan)

    def is_in_one_sitting(self, i: int) -> bool:
        """Whether all runs of a cell are of one day, and what that day did to them is unknown."""
        return bool(np.ptp(self.cells[i].days) == 0) and not self.day.knows_sittings


LARGEST, SMALLEST = 1e60, 1e-60
"""Of the largest value of a series, whatever its sign: degrees of freedom take fourth powers."""

ROUNDING = 4 * float(np.finfo(np.float64).eps)
"""A spread that small beside the largest value is what binary rounding leaves of none."""


class NoVarianceError(ValueError):
    """All runs agree, and how sure their readings are is not known."""

    def __init__(self) -> None:
        super().__init__(NoResult.ALL_ALIKE)


class OutOfRangeError(ValueError):
    """Values whose squares are beyond what binary numbers hold."""

    def __init__(self) -> None:
        super().__init__(NoResult.OUT_OF_RANGE)


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
    day = NO_DAYS
    spread: Spread | None = None
    dispersion: Dispersion | None = None
    why: str | None = None
    try:
        day = _days_of(cells)
        if rules.is_share:
            dispersion = series_dispersion(cells, day)
            means = share_means(cells, dispersion, day, rules.confidence)
            differences = share_differences(cells, means, dispersion, day, rules.confidence)
        else:
            spread = _some_spread(cells, day)
            means = metric_means(cells, spread, day, rules.confidence)
            differences = metric_differences(cells, means, spread, day, rules.confidence)
    except (TooFewRunsError, NoVarianceError, OutOfRangeError) as error:
        why, means = str(error), _means_without_spread(cells)
        differences = unknown_differences(means.mean)
    if rules.single_runs_open:
        differences = differences.without(run_counts(cells) == 1)
    better = differences.is_larger if rules.higher_is_better else differences.is_smaller
    best, worst = place_range(better)
    return Ranking(
        cells=tuple(cells),
        spread=spread,
        dispersion=dispersion,
        day=day,
        means=means.within(rules.lowest, rules.highest),
        differences=differences,
        place_best=best,
        place_worst=worst,
        is_unusual=np.zeros(len(cells), bool) if why else _is_out_of_line(cells, means, spread),
        why=why,
        rules=rules,
    )


def _days_of(cells: Sequence[Cell]) -> DaySpread:
    values = all_values(cells)
    if np.any(values) and not SMALLEST < np.abs(values).max() < LARGEST:
        raise OutOfRangeError
    return between_day_spread(values, all_setups(cells), all_days(cells))


def _some_spread(cells: Sequence[Cell], day: DaySpread) -> Spread:
    spread = series_spread(cells, day)
    is_none = spread.sd <= ROUNDING * np.abs(all_values(cells)).max()
    if is_none and not all(cell.reading_error > 0 for cell in cells):
        raise NoVarianceError
    return spread


def _means_without_spread(cells: Sequence[Cell]) -> Means:
    unknown = np.full(len(cells), np.nan)
    mean = np.array([mean_of_runs(cell.values) for cell in cells])
    sd = np.array([own_spread(cell.values) for cell in cells])
    return Means(mean, sd, unknown, unknown, unknown, unknown, unknown)


def _variance(
    cells: Sequence[Cell], means: Means, known: Spread | Dispersion, day: DaySpread
) -> np.typing.NDArray[np.float64]:
    """Variances that chances rest on: those of the intervals, without what instruments share.

    But a cell has its own spread only where that is out of line; taking it where it is merely the
    larger would make errors too large on the whole, and every chance too cautious.
    """
    instruments = np.array([cell.shared_error for cell in cells])
    of_interval = means.interval_se**2 - instruments**2
    if isinstance(known, Dispersion):
        return np.asarray(of_interval)
    readings = np.array([cell.reading_error for cell in cells])
    of_runs = np.fmax(known.of_cells(len(cells)) ** 2 / run_counts(cells), readings**2)
    pooled = of_runs + mean_parts(all_setups(cells), all_days(cells)).variance(day)
    is_out_of_line = _is_out_of_line(cells, means, known)
    return np.asarray(np.where(is_out_of_line, of_interval, np.minimum(of_interval, pooled)))


def _is_out_of_line(cells: Sequence[Cell], means: Means, spread: Spread | None) -> Booleans:
    """Whether runs of a cell scatter more than those of the others, at its level."""
    own = spread.at_one_level(means.sd) if spread else means.sd
    return is_unusual(own, run_counts(cells) - 1)
