"""What moved between two dates, and why.

In:  what stood in the store of the build, and on earlier dates.
Out: ``SpanRow`` and ``MovementRow`` records; only set-ups of the build's own store are named.

A place may change while nothing was learnt of a set-up: each row says what changed around it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from trialpress.analyses.codes import Change, Reason, Why, joined
from trialpress.analyses.machines import PACKAGE, SeriesKey
from trialpress.analyses.records import MovementRow, SpanRow
from trialpress.store import Store, read_sql

OVERALL: SeriesKey = ("overall", 0)


@dataclass(frozen=True)
class Earlier:
    """The bench as it stood on one date; no state where its data had faults then."""

    as_of: date
    bench_days: int
    state: State | None


@dataclass(frozen=True)
class SetupPlace:
    """Where one set-up stands in one series."""

    protocol: str
    version: int
    setup: str
    place: int
    mean: float
    place_best: int
    place_worst: int
    decimals: int


@dataclass(frozen=True)
class SeriesRun:
    """What one run gave, in one series."""

    protocol: str
    version: int
    setup: str
    run: str
    value: float


@dataclass(frozen=True)
class State:
    """One date: places and runs by series and set-up, and the newest version of each version."""

    placed: Mapping[SeriesKey, Mapping[str, SetupPlace]]
    runs: Mapping[tuple[SeriesKey, str], Mapping[str, float]]
    newest: Mapping[SeriesKey, int]
    setups: frozenset[str]

    def series_of(self, key: SeriesKey) -> SeriesKey | None:
        """The series that a protocol version belongs to on this date."""
        return (key[0], self.newest[key]) if key in self.newest else None


@dataclass(frozen=True)
class SeriesVersion:
    """A version of a protocol and the newest of its series."""

    protocol: str
    version: int
    series_version: int


@dataclass(frozen=True)
class Visible:
    """A set-up that may be named."""

    setup: str


StateRows = tuple[list[SetupPlace], list[SeriesRun], list[SeriesVersion], list[Visible]]


def read_state(store: Store) -> State:
    """Everything that movements are told from, on the date of one store."""
    return state_of(*read_state_rows(store))


def read_state_rows(store: Store) -> StateRows:
    """The same as rows."""
    return (
        store.records(SetupPlace, read_sql(PACKAGE, "queries/placed.sql")),
        store.records(SeriesRun, read_sql(PACKAGE, "queries/run_values.sql")),
        store.records(SeriesVersion, "select protocol, version, series_version from series"),
        store.records(Visible, "select setup from setups"),
    )


def state_of(
    places: Iterable[SetupPlace],
    values: Iterable[SeriesRun],
    versions: Iterable[SeriesVersion],
    setups: Iterable[Visible],
) -> State:
    """The state that rows tell of."""
    placed: dict[SeriesKey, dict[str, SetupPlace]] = {}
    for row in places:
        placed.setdefault((row.protocol, row.version), {})[row.setup] = row
    runs: dict[tuple[SeriesKey, str], dict[str, float]] = {}
    for run in values:
        runs.setdefault(((run.protocol, run.version), run.setup), {})[run.run] = run.value
    newest = {(row.protocol, row.version): row.series_version for row in versions}
    return State(placed, runs, {**newest, OVERALL: 0}, frozenset(row.setup for row in setups))


def movements(
    until: date, now: State, earlier: Sequence[Earlier]
) -> tuple[list[SpanRow], list[MovementRow]]:
    """Compare the build with each earlier date."""
    spans = [
        SpanRow(before.as_of, until, before.bench_days, None if before.state else Why.HAD_FAULTS)
        for before in earlier
    ]
    rows = [
        row
        for before in earlier
        if before.state is not None
        for row in _between(before.as_of, until, before.state, now)
    ]
    return spans, rows


def _between(since: date, until: date, before: State, now: State) -> Iterator[MovementRow]:
    for key in sorted(now.placed):
        earlier = next((old for old in sorted(before.placed) if now.series_of(old) == key), None)
        pair = _Pair(since, until, key, earlier, before, now)
        for setup in now.placed[key]:
            yield pair.row(setup)
        for setup in sorted(set(pair.old) - set(pair.new)):
            if setup in now.setups:
                yield pair.row(setup)


@dataclass(frozen=True)
class _Pair:
    """One series on two dates; ``earlier`` is None where it did not exist yet."""

    since: date
    until: date
    key: SeriesKey
    earlier: SeriesKey | None
    before: State
    now: State

    @property
    def old(self) -> Mapping[str, SetupPlace]:
        return self.before.placed[self.earlier] if self.earlier else {}

    @property
    def new(self) -> Mapping[str, SetupPlace]:
        return self.now.placed[self.key]

    def row(self, setup: str) -> MovementRow:
        was, stands = self.old.get(setup), self.new.get(setup)
        new_runs, corrected_runs = self._runs(setup)
        new_above, passed = self._new_above(setup), self._passed(setup)
        change = _change(was, stands)
        place = stands or was
        if place is None:
            raise ValueError(setup)
        reasons = {
            Reason.NEW_SERIES: self.earlier is None,
            Reason.PROTOCOL_CHANGE: self.earlier not in {None, self.key},
            Reason.NEW_RUNS: new_runs > 0,
            Reason.CORRECTION: corrected_runs > 0,
            Reason.NEW_COMPETITOR: was is not None and new_above > 0,
            Reason.OTHERS_MOVED: passed > 0,
        }
        return MovementRow(
            since=self.since,
            until=self.until,
            protocol=self.key[0],
            version=self.key[1],
            setup=setup,
            change=change,
            place_before=was.place if was else None,
            place=stands.place if stands else None,
            mean_before=was.mean if was else None,
            mean=stands.mean if stands else None,
            place_best_before=was.place_best if was else None,
            place_worst_before=was.place_worst if was else None,
            place_best=stands.place_best if stands else None,
            place_worst=stands.place_worst if stands else None,
            new_runs=new_runs,
            corrected_runs=corrected_runs,
            new_above=new_above,
            others_passed=passed,
            why=joined(reason for reason, holds in reasons.items() if holds),
            decimals_before=was.decimals if was else None,
            decimals=place.decimals,
        )

    def _runs(self, setup: str) -> tuple[int, int]:
        """Runs that are new, and runs that were changed or taken out."""
        old = self.before.runs.get((self.earlier, setup), {}) if self.earlier else {}
        new = self.now.runs.get((self.key, setup), {})
        changed = sum(new.get(run) != value for run, value in old.items())
        return len(set(new) - set(old)), changed

    def _new_above(self, setup: str) -> int:
        """Set-ups that were not there before and now stand before this one."""
        own = self.new.get(setup)
        return int(np.sum(self._new_places < own.place)) if own else 0

    def _passed(self, setup: str) -> int:
        """Set-ups there on both dates that this one passed, or that passed it."""
        was, stands = self.old.get(setup), self.new.get(setup)
        if was is None or stands is None:
            return 0
        before, now = self._places_of_both
        return int(np.sum(np.sign(before - was.place) != np.sign(now - stands.place)))

    @cached_property
    def _new_places(self) -> NDArray[np.int64]:
        """Places now of set-ups that were not there before."""
        places = [placed.place for name, placed in self.new.items() if name not in self.old]
        return np.array(places, dtype=np.int64)

    @cached_property
    def _places_of_both(self) -> NDArray[np.int64]:
        """Places before and now of set-ups that are there on both dates, shape (2, k)."""
        both = [name for name in self.new if name in self.old]
        places = [[side[name].place for name in both] for side in (self.old, self.new)]
        return np.array(places, dtype=np.int64)


def _side(place: int, own: int) -> int:
    return (place > own) - (place < own)


def _change(was: SetupPlace | None, stands: SetupPlace | None) -> Change:
    if was is None:
        return Change.NEW
    if stands is None:
        return Change.GONE
    side = _side(stands.place, was.place)
    return {-1: Change.UP, 0: Change.STAYED, 1: Change.DOWN}[side]
