"""A ranking as rows of the public tables, rounded and in their final order.

In:  a ``Ranking`` and the set-ups' names.
Out: ``CellRow`` and ``StandingRow`` records, and ``Pairs`` for the comparisons.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from trialpress.results.days import DayEvidence, SittingEvidence
from trialpress.results.evenings import runs_to_decide_all
from trialpress.results.levels import SpreadByLevel
from trialpress.results.pairs import Pairs
from trialpress.results.places import places_of, top_of
from trialpress.results.ranking import Ranking
from trialpress.results.records import CellRow, SeriesSpreadRow, StandingRow
from trialpress.results.rounding import decimals_for, half_even, published
from trialpress.results.separation import Relation, relation_of
from trialpress.results.study import nearest_row


@dataclass(frozen=True)
class RankedSetup:
    """Who made a set-up's machine, of what kind it is, and the name that orders it among equals."""

    setup: str
    machine: str
    maker: str
    kind: str
    name: str


@dataclass(frozen=True)
class SeriesRules:
    """A series and what its protocol says of it.

    ``lowest`` and ``highest`` are what its values cannot pass, None where there is no such bound.
    """

    protocol: str
    version: int
    title: str
    floor: str | None
    unit: str
    higher_is_better: bool
    min_runs: int
    matters: float
    weight: float
    is_share: bool
    is_current: bool
    lowest: float | None = None
    highest: float | None = None


@dataclass(frozen=True)
class Published:
    """One series ready for its tables; ``decimals`` are those of all its figures."""

    cells: tuple[CellRow, ...]
    standings: tuple[StandingRow, ...]
    pairs: Pairs
    spread: SeriesSpreadRow
    decimals: int


def publish(
    ranking: Ranking,
    series: SeriesRules,
    names: Mapping[str, RankedSetup],
    *,
    has_chance: bool = True,
) -> Published:
    """Round a ranking and put it in order: by place, then by name.

    Chances, which take longer than all the rest, stay blank without ``has_chance``.
    """
    decimals = decimals_for((ranking.means.high - ranking.means.low) / 2)
    means = np.array([half_even(mean, decimals) for mean in ranking.means.mean.tolist()])
    places = places_of(means, higher_is_better=series.higher_is_better)
    order = sorted(
        range(len(places)), key=lambda i: (places[i], names[ranking.cells[i].setup].name)
    )
    page = _Page(ranking, series, decimals, has_chance)
    return Published(
        cells=tuple(page.cell(i) for i in range(len(places))),
        standings=tuple(
            page.standing(i, order[0], int(places[i]), position, names[ranking.cells[i].setup])
            for position, i in enumerate(order, start=1)
        ),
        pairs=page.pairs(),
        spread=page.series_spread(),
        decimals=decimals,
    )


@dataclass(frozen=True)
class _Page:
    """What every row of one series needs to know."""

    ranking: Ranking
    series: SeriesRules
    decimals: int
    has_chance: bool

    def cell(self, i: int) -> CellRow:
        ranking, means = self.ranking, self.ranking.means
        cell, finer = ranking.cells[i], self.decimals + 1
        return CellRow(
            setup=cell.setup,
            protocol=self.series.protocol,
            version=self.series.version,
            n=len(cell.values),
            mean=self.mean(i),
            sd=published(means.sd[i], finer),
            se=published(means.interval_se[i], finer),
            df=published(means.df[i], 1),
            low=published(means.low[i], self.decimals),
            high=published(means.high[i], self.decimals),
            spread=self.spread(i),
            spread_from=_spread_from(ranking),
            unusual_spread=bool(ranking.is_unusual[i]),
            readings_known=not bool(np.isnan(cell.u_value + cell.u_shared).any()),
            provisional=self.is_provisional(i),
            decimals=self.decimals,
            why=ranking.why,
        )

    def standing(
        self, i: int, first: int, place: int, position: int, name: RankedSetup
    ) -> StandingRow:
        ranking, means = self.ranking, self.ranking.means
        best, worst = int(ranking.place_best[i]), int(ranking.place_worst[i])
        relation = self.relation(i, first)
        return StandingRow(
            protocol=self.series.protocol,
            version=self.series.version,
            place=place,
            setup=name.setup,
            machine=name.machine,
            maker=name.maker,
            mean=self.mean(i),
            low=published(means.low[i], self.decimals),
            high=published(means.high[i], self.decimals),
            n=len(ranking.cells[i].values),
            place_best=best,
            place_worst=worst,
            chance_top=published(ranking.chance_top[i], 2) if self.has_chance else None,
            top=top_of(best, worst, self.ranking.rules.top_n).value,
            gap_to_first=half_even(abs(self.mean(first) - self.mean(i)), self.decimals),
            told_from_first=relation in {Relation.BETTER, Relation.WORSE},
            relation_to_first="first" if i == first else relation.value,
            on_one_run=len(ranking.cells[i].values) == 1,
            one_sitting=ranking.is_in_one_sitting(i),
            provisional=self.is_provisional(i),
            unit=self.series.unit,
            decimals=self.decimals,
            position=position,
        )

    def pairs(self) -> Pairs:
        series = self.series
        return Pairs(
            self.ranking,
            series.protocol,
            series.version,
            series.matters,
            series.higher_is_better,
            self.decimals,
        )

    def relation(self, i: int, j: int) -> Relation:
        between = self.ranking.differences
        return relation_of(
            between.low[i, j],
            between.high[i, j],
            self.series.matters,
            higher_is_better=self.series.higher_is_better,
        )

    def mean(self, i: int) -> float:
        return half_even(float(self.ranking.means.mean[i]), self.decimals)

    def series_spread(self) -> SeriesSpreadRow:
        ranking, finer = self.ranking, self.decimals + 1
        known, study = ranking.spread or ranking.dispersion, nearest_row(ranking)
        return SeriesSpreadRow(
            protocol=self.series.protocol,
            version=self.series.version,
            setups=len(ranking.cells),
            runs=sum(cell.n for cell in ranking.cells),
            method=_spread_from(ranking),
            spread=published(ranking.spread.sd, finer) if ranking.spread else None,
            dispersion=published(ranking.dispersion.factor, 2) if ranking.dispersion else None,
            df=published(known.df, 1) if known else None,
            day_evidence=ranking.day.evidence.value,
            day_spread=_day_spread(ranking, finer),
            day_df=published(ranking.day.day.df, 1),
            sitting_evidence=ranking.day.sitting_evidence.value,
            sitting_spread=_sitting_spread(ranking, finer),
            sitting_df=published(ranking.day.sitting.df, 1),
            runs_to_decide=runs_to_decide_all(
                ranking, self.series.matters, self.ranking.rules.confidence
            ),
            study_set_ups=study.set_ups if study else None,
            study_case=study.case if study else None,
            decimals=self.decimals,
            why=ranking.why,
        )

    def spread(self, i: int) -> float | None:
        """The run-to-run spread of a cell: that of the series, at its level where it follows it."""
        if self.ranking.spread is None:
            return None
        each = self.ranking.spread.of_cells(len(self.ranking.cells))
        return published(float(each[i]), self.decimals + 1)

    def is_provisional(self, i: int) -> bool:
        return len(self.ranking.cells[i].values) < self.series.min_runs


def _day_spread(ranking: Ranking, decimals: int) -> float | None:
    """The spread between days; where only its sum with that of sittings is known, that bound."""
    day = ranking.day
    if day.evidence is DayEvidence.WITH_SITTINGS:
        return _sitting_spread(ranking, decimals)
    is_told = day.evidence in {DayEvidence.ESTIMATED, DayEvidence.ZERO}
    return published(math.sqrt(day.day_variance), decimals) if is_told else None


def _sitting_spread(ranking: Ranking, decimals: int) -> float | None:
    day = ranking.day
    is_told = day.knows_sittings and day.sitting_evidence is not SittingEvidence.IN_RUNS
    return published(math.sqrt(day.sitting_variance), decimals) if is_told else None


def _spread_from(ranking: Ranking) -> str:
    """Where the spread of a series comes from, in one word."""
    if ranking.dispersion:
        return "dispersion"
    if ranking.spread:
        if isinstance(ranking.spread, SpreadByLevel):
            return "pooled, by level"
        return "pooled, days apart" if ranking.day.counts else "pooled"
    return "none"
