"""Overall places: complete set-ups ranked, the others listed with what is missing.

In:  the rankings of every series that counts, and the set-ups' names.
Out: ``OverallRow``, ``OverallScopeRow`` and ``OverallShareRow`` records, for both ways to form one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trialpress.results.chance import posterior_chance
from trialpress.results.interaction import Interaction, interaction_of
from trialpress.results.mean_errors import MeanErrors
from trialpress.results.overall import OverallBy, OverallMean, Part, overall_mean, say_of_series
from trialpress.results.overall_parts import Worked, counted_by, parts_of
from trialpress.results.places import place_range, places_of, top_of
from trialpress.results.publishing import RankedSetup
from trialpress.results.ranking import Rules
from trialpress.results.records import (
    OverallRow,
    OverallScopeRow,
    OverallShareRow,
    OverallWhy,
)
from trialpress.results.rounding import decimals_for, half_even, published
from trialpress.results.separation import Booleans, critical_values, simultaneous_differences
from trialpress.results.spread import Floats

BENCH = "bench"
LIKE_THESE = "floors like these"
FEWEST_FLOORS = 3

Parts = Mapping[str, Part]
Means = Mapping[str, OverallMean]
Pairs = Mapping[str, NDArray[Any]]


@dataclass(frozen=True)
class OverallTables:
    """Rows of ``overall``, ``overall_scopes`` and ``overall_shares``; ``overall_better``."""

    rows: tuple[OverallRow, ...]
    scopes: tuple[OverallScopeRow, ...]
    shares: tuple[OverallShareRow, ...]
    better: tuple[Pairs, ...]


def rank_overall(
    worked: Sequence[Worked],
    rules: Rules,
    names: Mapping[str, RankedSetup],
    ranks: OverallBy,
    *,
    has_chance: bool = True,
) -> OverallTables:
    """Rank every set-up that has a mean in all series that count, both ways and in both scopes.

    A set-up with a series missing gets no place. Set-ups are compared on the scale of the score;
    what they share - days, and on floors like these the
    kind of machine - falls out of their differences as far as they share it. By ratio a value of 0
    comes after all others and has no interval. What holds for floors like these is only told where
    there are three floors. ``ranks`` marks the rows that the bench ranks by. Chances stay blank
    without ``has_chance``.
    """
    ways = [_Way(by, counted_by(worked, by), rules, names, ranks, has_chance) for by in OverallBy]
    used = [way for way in ways if way.counted]
    return OverallTables(
        tuple(row for way in used for row in way.rows()),
        tuple(row for way in used for row in way.scope_rows()),
        tuple(row for way in used for row in way.share_rows()),
        tuple(way.compared(BENCH).better for way in used if way.by is ranks),
    )


@dataclass(frozen=True)
class _Way:
    """One way to form an overall, over the series that count in it."""

    by: OverallBy
    counted: Sequence[Worked]
    rules: Rules
    names: Mapping[str, RankedSetup]
    ranks: OverallBy
    has_chance: bool

    @cached_property
    def parts(self) -> Mapping[str, Parts]:
        """The parts of each set-up, by protocol."""
        return parts_of(self.counted, self.by)

    @cached_property
    def full(self) -> Mapping[str, Parts]:
        """The parts of set-ups that lack none."""
        return {key: own for key, own in self.parts.items() if len(own) == len(self.counted)}

    @cached_property
    def floors(self) -> int:
        """How many floors the series were run on."""
        return len({series.floor for series, _ in self.counted if series.floor is not None})

    @cached_property
    def table(self) -> Mapping[str, Parts]:
        """The parts of complete set-ups that have scores."""
        is_ratio = self.by is OverallBy.RATIO
        return {
            setup: own
            for setup, own in self.full.items()
            if not is_ratio or all(part.mean > 0 for part in own.values())
        }

    @cached_property
    def scores(self) -> Floats:
        """Logarithms or steps, set-ups of ``table`` by series."""
        means = np.array([[part.mean for part in own.values()] for own in self.table.values()])
        return np.log(means) if self.by is OverallBy.RATIO else means

    @cached_property
    def interaction(self) -> Interaction | None:
        """None where there are too few floors or set-ups, or errors are not known."""
        table = self.table
        if self.floors < FEWEST_FLOORS or len(table) < 2:  # noqa: PLR2004  one has no interaction
            return None
        errors = np.array(
            [[part.standard_error for part in own.values()] for own in table.values()]
        )
        if self.by is OverallBy.RATIO:
            errors = errors / np.exp(self.scores)
        if np.isnan(errors).any():
            return None
        return interaction_of(self.scores, errors**2, [self.names[setup].kind for setup in table])

    @cached_property
    def scopes(self) -> Mapping[str, Means]:
        """The means of complete set-ups in each scope."""
        here = {key: overall_mean(list(own.values()), self.by) for key, own in self.full.items()}
        interaction = self.interaction
        if interaction is None:
            return {BENCH: here}
        weights = [series.weight for series, _ in self.counted]
        like = {
            setup: mean.on_floors_like_these(interaction, weights, self.names[setup].kind)
            for setup, mean in here.items()
        }
        return {BENCH: here, LIKE_THESE: like}

    def rows(self) -> Iterator[OverallRow]:
        lacking = {setup: own for setup, own in self.parts.items() if setup not in self.full}
        for scope, means in self.scopes.items():
            yield from self.complete_rows(scope, means)
            yield from self.incomplete_rows(scope, lacking, start=len(means) + 1)

    def scope_rows(self) -> Iterator[OverallScopeRow]:
        too_few = self.floors < FEWEST_FLOORS
        interaction = self.interaction
        for scope, means in self.scopes.items():
            of_floors = interaction if scope == LIKE_THESE else None
            yield OverallScopeRow(
                by=self.by.value,
                ranks=self.by is self.ranks,
                scope=scope,
                series=len(self.counted),
                floors=self.floors,
                set_ups=len(means),
                interaction_pct=self.spread_of(of_floors, OverallBy.RATIO),
                interaction_steps=self.spread_of(of_floors, OverallBy.STEPS),
                share_of_kinds=_share_of_kinds(of_floors),
                claims_best=not too_few,
                why=OverallWhy.TOO_FEW_FLOORS.value if too_few else None,
            )

    def spread_of(self, interaction: Interaction | None, by: OverallBy) -> float | None:
        if interaction is None or by is not self.by:
            return None
        size = math.sqrt(interaction.total)
        return published(100 * size, 1) if by is OverallBy.RATIO else published(size, 2)

    def share_rows(self) -> Iterator[OverallShareRow]:
        """How much each series decides, over set-ups that have scores."""
        if len(self.table) < 2:  # noqa: PLR2004  one set-up does not differ from itself
            return
        weights = [series.weight for series, _ in self.counted]
        protocols = [series.protocol for series, _ in self.counted]
        decides = say_of_series(dict(zip(protocols, self.scores.T, strict=True)), weights)
        for series, _ in self.counted:
            yield OverallShareRow(
                by=self.by.value,
                ranks=self.by is self.ranks,
                protocol=series.protocol,
                version=series.version,
                weight=series.weight,
                set_ups=len(self.table),
                share_of_weight=round(series.weight / math.fsum(weights), 4),
                share_of_variance=published(decides[series.protocol].share, 4),
                correlation=published(decides[series.protocol].correlation, 2),
            )

    def complete_rows(self, scope: str, whole: Means) -> Iterator[OverallRow]:
        if not whole:
            return
        intervals = {setup: mean.interval(self.rules.confidence) for setup, mean in whole.items()}
        decimals = decimals_for((high - low) / 2 for low, high in intervals.values())
        compared = self.compared(scope)
        values = np.array([half_even(mean.value, decimals) for mean in whole.values()])
        places = dict(zip(whole, places_of(values, higher_is_better=True).tolist(), strict=True))
        order = sorted(whole, key=lambda setup: (places[setup], self.names[setup].name))
        for position, setup in enumerate(order, start=1):
            best, worst = compared.place_best[setup], compared.place_worst[setup]
            yield OverallRow(
                by=self.by.value,
                ranks=self.by is self.ranks,
                setup=setup,
                machine=self.names[setup].machine,
                maker=self.names[setup].maker,
                scope=scope,
                place=places[setup],
                value=published(whole[setup].value, decimals),
                low=published(intervals[setup][0], decimals),
                high=published(intervals[setup][1], decimals),
                place_best=best,
                place_worst=worst,
                chance_top=published(compared.chance_top[setup], 2),
                top=top_of(best, worst, self.rules.top_n).value,
                on_one_run=setup in self.on_one_run,
                one_sitting=setup in self.one_sitting,
                provisional=setup in self.provisional,
                complete=True,
                missing=None,
                why=_why(whole[setup], intervals[setup]),
                decimals=decimals,
                position=position,
            )

    def compared(self, scope: str) -> _Compared:
        """How the set-ups of one scope stand towards each other; worked out once."""
        if scope not in self._compared:
            whole = self.scopes[scope]
            self._compared[scope] = _compare(whole, self.rules, has_chance=self.has_chance)
        return self._compared[scope]

    @cached_property
    def _compared(self) -> dict[str, _Compared]:
        return {}

    @cached_property
    def on_one_run(self) -> frozenset[str]:
        """Set-ups with a single run in one of the series."""
        return frozenset(
            cell.setup for _, ranking in self.counted for cell in ranking.cells if cell.n == 1
        )

    @cached_property
    def one_sitting(self) -> frozenset[str]:
        """Set-ups in one of whose series all runs are of one day that cannot be told from them."""
        return frozenset(
            cell.setup
            for _, ranking in self.counted
            for i, cell in enumerate(ranking.cells)
            if ranking.is_in_one_sitting(i)
        )

    @cached_property
    def provisional(self) -> frozenset[str]:
        """Set-ups with fewer runs than the protocol asks for in one of the series."""
        return frozenset(
            cell.setup
            for series, ranking in self.counted
            for cell in ranking.cells
            if cell.n < series.min_runs
        )

    def incomplete_rows(
        self, scope: str, lacking: Mapping[str, Parts], *, start: int
    ) -> Iterator[OverallRow]:
        """Set-ups with a series missing, by name, after all that have a place."""
        figures = ("place", "value", "low", "high", "place_best", "place_worst", "chance_top")
        nothing = dict.fromkeys((*figures, "top", "why"))
        order = sorted(lacking, key=lambda setup: self.names[setup].name)
        for position, setup in enumerate(order, start=start):
            yield OverallRow(
                by=self.by.value,
                ranks=self.by is self.ranks,
                setup=setup,
                machine=self.names[setup].machine,
                maker=self.names[setup].maker,
                scope=scope,
                on_one_run=setup in self.on_one_run,
                one_sitting=setup in self.one_sitting,
                provisional=setup in self.provisional,
                complete=False,
                missing="; ".join(
                    series.title
                    for series, _ in self.counted
                    if series.protocol not in lacking[setup]
                ),
                decimals=0,
                position=position,
                **nothing,
            )


def _share_of_kinds(interaction: Interaction | None) -> float | None:
    """How much of the interaction's variance lies between kinds of machines."""
    if interaction is None or not interaction.kinds or interaction.total == 0:
        return None
    return round(interaction.kind_variance / interaction.total, 2)


@dataclass(frozen=True)
class _Compared:
    """Places of the complete set-ups that the data cannot rule out, chances, who is better."""

    place_best: Mapping[str, int]
    place_worst: Mapping[str, int]
    chance_top: Mapping[str, float]
    better: Pairs


def _compare(whole: Means, rules: Rules, *, has_chance: bool) -> _Compared:
    """Compare scores; by ratio, set-ups at 0 come after all that are above it."""
    at_zero = [
        s for s, overall in whole.items() if overall.by is OverallBy.RATIO and overall.value == 0
    ]
    above = [setup for setup in whole if setup not in at_zero]
    best = dict.fromkeys(at_zero, len(above) + 1)
    worst = dict.fromkeys(at_zero, len(whole))
    chance = dict.fromkeys(whole, math.nan)
    if not above:
        return _Compared(best, worst, chance, _pairs([], at_zero, np.zeros((0, 0), np.bool_)))
    means = [whole[setup] for setup in above]
    scores, errors = np.array([mean.score for mean in means]), _errors(means)
    if math.isnan(errors.df) or not bool(np.all(errors.own > 0)):
        is_better = np.zeros((len(above), len(above)), dtype=np.bool_)
    else:
        df = _df_of_differences(means)
        critical = critical_values(rules.confidence, len(above), df)
        apart = np.sqrt(errors.variance_of_differences())
        is_better = simultaneous_differences(scores, apart, critical).is_larger
        if has_chance:
            found = posterior_chance(scores, errors, rules.top_n)
            chance.update(zip(above, found.tolist(), strict=True))
    above_best, above_worst = place_range(is_better)
    best.update(zip(above, above_best.tolist(), strict=True))
    worst.update(zip(above, above_worst.tolist(), strict=True))
    return _Compared(best, worst, chance, _pairs(above, at_zero, is_better))


def _pairs(above: Sequence[str], at_zero: Sequence[str], is_better: Booleans) -> Pairs:
    """Every pair of which one is better; all that have a score are better than those at 0."""
    names = np.array([*above, *at_zero], dtype=object)
    whole = np.zeros((len(names), len(names)), dtype=np.bool_)
    whole[: len(above), : len(above)] = is_better
    whole[: len(above), len(above) :] = True
    setup, other = np.nonzero(whole)
    return {"setup": names[setup], "other": names[other]}


def _errors(means: Sequence[OverallMean]) -> MeanErrors:
    shared = np.array([mean.shared for mean in means])
    whole = np.array([mean.error for mean in means]) ** 2
    own = whole - np.sum(shared**2, axis=1)
    return MeanErrors(own, shared, float(np.median([mean.df for mean in means])))


def _df_of_differences(means: Sequence[OverallMean]) -> Floats:
    """Degrees of freedom of the difference of every two, shape (k, k).

    Source: Welch-Satterthwaite, as Games and Howell, J. Educ. Stat. 1 (1976) 113, take it. What two
    set-ups share stands in the degrees of freedom of each, which leaves too few rather than more.
    """
    variance = np.array([mean.error for mean in means]) ** 2
    below = variance**2 / np.array([mean.df for mean in means])
    pair = (variance[:, None] + variance[None, :]) ** 2
    return np.asarray(pair / (below[:, None] + below[None, :]))


def _why(mean: OverallMean, interval: tuple[float, float]) -> str | None:
    if mean.by is OverallBy.RATIO and mean.value == 0:
        return OverallWhy.MEAN_NOT_ABOVE_0.value
    if math.isnan(mean.error):
        return OverallWhy.NO_REPEATS.value
    return OverallWhy.MEAN_NEAR_0.value if math.isnan(interval[0]) else None
