"""Everything the pages tell, read from the store once.

In:  the store, through ``queries/*.sql``.
Out: ``Facts``: the records of every query, and look-ups by their keys.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from trialpress.bench import Settings
from trialpress.site import result_rows, rows
from trialpress.store import Store, read_sql

Item = TypeVar("Item")
Key = TypeVar("Key", bound=Hashable)
Series = tuple[str, int]


@dataclass(frozen=True)
class Facts:
    """The records of every query, in the order of the queries."""

    settings: Settings
    methods: Mapping[str, str]
    makers: Sequence[rows.Maker]
    machines: Sequence[rows.Machine]
    setups: Sequence[rows.Setup]
    floors: Sequence[rows.Floor]
    protocols: Sequence[rows.Protocol]
    runs: Sequence[rows.Run]
    readings: Sequence[rows.Reading]
    standings: Sequence[result_rows.Standing]
    spreads: Sequence[result_rows.Spread]
    comparisons: Sequence[result_rows.Comparison]
    not_ranked: Sequence[result_rows.NotRanked]
    overall: Sequence[result_rows.Overall]
    overall_scopes: Sequence[result_rows.OverallScope]
    overall_parts: Sequence[result_rows.OverallPart]
    incomplete: Sequence[result_rows.Incomplete]
    maker_overview: Sequence[result_rows.MakerOverview]
    drift: Sequence[result_rows.DriftRun]
    movements: Sequence[result_rows.Movement]
    claims: Sequence[rows.Claim]
    corrections: Sequence[rows.Correction]
    photos: Sequence[rows.Photo]
    warnings: Sequence[rows.Warned]

    @cached_property
    def maker(self) -> Mapping[str, rows.Maker]:
        """Makers by their slug."""
        return {row.maker: row for row in self.makers}

    @cached_property
    def machine(self) -> Mapping[str, rows.Machine]:
        """Machines by their slug."""
        return {row.machine: row for row in self.machines}

    @cached_property
    def setup(self) -> Mapping[str, rows.Setup]:
        """Set-ups by their slug."""
        return {row.setup: row for row in self.setups}

    @cached_property
    def floor(self) -> Mapping[str, rows.Floor]:
        """Floors by their slug."""
        return {row.floor: row for row in self.floors}

    @cached_property
    def run(self) -> Mapping[str, rows.Run]:
        """Runs by their id."""
        return {row.run: row for row in self.runs}

    @cached_property
    def series(self) -> Mapping[Series, rows.Protocol]:
        """The newest protocol version of each series, in the order of the protocols' titles."""
        return {
            (row.protocol, row.version): row
            for row in self.protocols
            if row.version == row.series_version
        }

    @cached_property
    def current_series(self) -> Sequence[rows.Protocol]:
        """The newest series of each protocol."""
        return tuple(row for row in self.series.values() if row.is_current)

    @cached_property
    def setups_of(self) -> Mapping[str, Sequence[rows.Setup]]:
        """Set-ups of each machine."""
        return grouped(self.setups, lambda row: row.machine)

    @cached_property
    def machines_of(self) -> Mapping[str, Sequence[rows.Machine]]:
        """Machines of each maker."""
        return grouped(self.machines, lambda row: row.maker)

    @cached_property
    def standings_of(self) -> Mapping[Series, Sequence[result_rows.Standing]]:
        """The standing of each series, in its order."""
        return grouped(self.standings, lambda row: (row.protocol, row.version))

    @cached_property
    def runs_of(self) -> Mapping[tuple[Series, str], Sequence[rows.Run]]:
        """Runs of each series and set-up, oldest first."""
        return grouped(self.runs, lambda row: ((row.protocol, row.series_version), row.setup))

    @cached_property
    def comparisons_of(self) -> Mapping[tuple[Series, str], Sequence[result_rows.Comparison]]:
        """Relations of each set-up in each series to the others, in the order of the standing."""
        return grouped(self.comparisons, lambda row: ((row.protocol, row.version), row.setup))

    @cached_property
    def readings_of(self) -> Mapping[str, Sequence[rows.Reading]]:
        """Readings of each run, as typed."""
        return grouped(self.readings, lambda row: row.run)

    @cached_property
    def complete_setups(self) -> frozenset[str]:
        """Set-ups that were run in every series of the overall."""
        return frozenset(row.setup for row in self.overall)

    def full_name(self, machine: str) -> str:
        """A machine's name with its maker's."""
        row = self.machine[machine]
        return f"{self.maker[row.maker].name} {row.name}"

    def setup_name(self, setup: str) -> str:
        """A set-up in words: maker, machine and what sets it apart."""
        row = self.setup[setup]
        return f"{self.full_name(row.machine)} ({row.label})"


def grouped(items: Iterable[Item], key: Callable[[Item], Key]) -> Mapping[Key, Sequence[Item]]:
    """Items by key, groups and items in the order they came in."""
    groups: dict[Key, list[Item]] = {}
    for item in items:
        groups.setdefault(key(item), []).append(item)
    return groups


def read_facts(store: Store) -> Facts:
    """Run every query of the site once."""

    def read(kind: type[Item], name: str) -> Sequence[Item]:
        return tuple(store.records(kind, read_sql("trialpress.site", f"queries/{name}.sql")))

    return Facts(
        settings=store.settings,
        methods=store.methods,
        makers=read(rows.Maker, "makers"),
        machines=read(rows.Machine, "machines"),
        setups=read(rows.Setup, "setups"),
        floors=read(rows.Floor, "floors"),
        protocols=read(rows.Protocol, "protocols"),
        runs=read(rows.Run, "runs"),
        readings=read(rows.Reading, "readings"),
        standings=read(result_rows.Standing, "standings"),
        spreads=read(result_rows.Spread, "spreads"),
        comparisons=read(result_rows.Comparison, "comparisons"),
        not_ranked=read(result_rows.NotRanked, "not_ranked"),
        overall=read(result_rows.Overall, "overall"),
        overall_scopes=read(result_rows.OverallScope, "overall_scopes"),
        overall_parts=read(result_rows.OverallPart, "overall_parts"),
        incomplete=read(result_rows.Incomplete, "incomplete"),
        maker_overview=read(result_rows.MakerOverview, "maker_overview"),
        drift=read(result_rows.DriftRun, "drift"),
        movements=read(result_rows.Movement, "movements"),
        claims=read(rows.Claim, "claims"),
        corrections=read(rows.Correction, "corrections"),
        photos=read(rows.Photo, "photos"),
        warnings=read(rows.Warned, "warnings"),
    )
