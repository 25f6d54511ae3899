"""A store filled by hand: only the tables and columns that charts are drawn from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from itertools import count

import duckdb

from trialpress.analyses.records import (
    AssociationRow,
    ClaimAssociationRow,
    ClaimCheckRow,
    MachineValueRow,
    ValueRow,
)
from trialpress.bench import Settings
from trialpress.intake import read_schema
from trialpress.results.records import DriftRow, OverallRow, RunResultRow, StandingRow
from trialpress.store import Store
from trialpress.store.loading import SQL_TYPES
from trialpress.view import View

SETTINGS = Settings(
    format=1,
    name="A bench by hand",
    base_url="https://bench.example/",
    time_zone="Europe/Vienna",
    licence="CC-BY-4.0",
    contact="bench@bench.example",
    currency="EUR",
    top_n=2,
    confidence=0.95,
    disclosure="Everything here is invented.",
    notice=None,
    single_runs="borrowed",
)


@dataclass(frozen=True)
class Entry:
    """One set-up in one series; ``runs`` are its values, in the order they were made."""

    setup: str
    mean: float
    low: float | None
    high: float | None
    places: tuple[int, int]
    protocol: str = "carpet"
    version: int = 1
    maker: str = "ostrel"
    machine: str = "ostrel-one"
    label: str = "as unboxed"
    stock: bool = True
    top: str = "out"
    provisional: bool = False
    on_one_run: bool = False
    runs: tuple[float, ...] = ()


@dataclass(frozen=True)
class SeriesRow:
    protocol: str
    version: int
    series_version: int
    title: str
    unit: str
    better: str
    in_overall: float
    is_current: bool


RUN_COLUMNS = dict.fromkeys(
    (
        *("run", "day", "at", "setup", "protocol", "reading", "reading_table"),
        *("status", "reason", "clip", "operator", "note", "file"),
    ),
    "varchar",
) | {"day_date": "date", "version": "bigint", "series_version": "bigint", "row": "bigint"}
_NUMBERS = count(1)
CARPET = SeriesRow("carpet", 1, 1, "Dust from carpet", "%", "higher", 1.0, is_current=True)
NOISE = SeriesRow("noise", 1, 1, "Noise", "dB", "lower", 0.0, is_current=True)


@cache
def _program() -> duckdb.DuckDBPyConnection:
    return duckdb.connect()


def _database() -> duckdb.DuckDBPyConnection:
    """One of its own in a program that all share, whose start takes longer than to fill it."""
    name = f"by_hand_{next(_NUMBERS)}"
    connection = _program().cursor()
    connection.execute(f"attach ':memory:' as {name}; use {name}")
    return connection


def view_of(
    entries: Sequence[Entry],
    *,
    series: Sequence[SeriesRow] = (CARPET,),
    overall: Sequence[OverallRow] = (),
    drift: Sequence[DriftRow] = (),
) -> View:
    """The view of a store in memory with these entries; machines are named after their slugs."""
    store = Store(_database(), SETTINGS, date(2031, 3, 2), {})
    makers = {entry.maker: None for entry in entries}
    machines = {entry.machine: entry.maker for entry in entries}
    setups = {entry.setup: entry for entry in entries}
    runs = _runs(entries)
    _fill(store, "makers", [{"maker": maker, "name": maker.title()} for maker in makers])
    _fill(
        store,
        "machines",
        [
            {"machine": m, "maker": k, "name": _name(m), "kind": "stick"}
            for m, k in machines.items()
        ],
    )
    _fill(
        store,
        "setups",
        [
            {"setup": e.setup, "machine": e.machine, "label": e.label, "stock": e.stock}
            for e in setups.values()
        ],
    )
    _fill(store, "soils", [])
    _fill(store, "protocols", [_protocol(row) for row in series])
    made = [*map(_run, runs), *map(_run, drift)]
    _fill(store, "runs", made, columns=RUN_COLUMNS)
    store.write_records("series", SeriesRow, series)
    store.write_records("cells", Cell, [_cell(entry) for entry in entries])
    store.write_records("standings", StandingRow, _standings(entries))
    store.write_records("overall", OverallRow, overall)
    store.write_records("drift", DriftRow, drift)
    store.write_records("run_results", RunResultRow, runs)
    store.write_records("value_front", ValueRow, [])
    store.write_records("claim_checks", ClaimCheckRow, [])
    store.write_records("machine_values", MachineValueRow, [])
    store.write_records("claim_associations", ClaimAssociationRow, [])
    store.write_records("associations", AssociationRow, [])
    return View(store)


def overall_row(entry: Entry, position: int, *, place: int | None) -> OverallRow:
    """The overall value of a set-up, the same as in its one series."""
    return OverallRow(
        by="ratio",
        ranks=True,
        setup=entry.setup,
        machine=entry.machine,
        maker=entry.maker,
        scope="bench",
        place=place,
        value=None if place is None else entry.mean,
        low=None if place is None else entry.low,
        high=None if place is None else entry.high,
        place_best=None if place is None else entry.places[0],
        place_worst=None if place is None else entry.places[1],
        chance_top=None,
        top=None if place is None else entry.top,
        on_one_run=False,
        one_sitting=False,
        provisional=False,
        complete=place is not None,
        missing=None if place is not None else "Noise",
        why=None,
        decimals=1,
        position=position,
    )


def _name(machine: str) -> str:
    return machine.partition("-")[2].title()


def _fill(
    store: Store,
    table: str,
    rows: Sequence[Mapping[str, object]],
    columns: Mapping[str, str] | None = None,
) -> None:
    """Make a typed table; a column that a row does not name is NULL there."""
    if columns is None:
        columns = {field.name: SQL_TYPES[field.type] for field in read_schema(table).fields}
    typed = ", ".join(f'"{name}" {kind}' for name, kind in columns.items())
    store.connection.execute(f"create table {table} ({typed})")
    marks = ", ".join("?" for _ in columns)
    for row in rows:
        values = [row.get(name) for name in columns]
        store.connection.execute(f"insert into {table} values ({marks})", values)  # noqa: S608


def _protocol(row: SeriesRow) -> Mapping[str, object]:
    return {
        "protocol": row.protocol,
        "version": row.version,
        "title": row.title,
        "reading": "collected",
        "unit": row.unit,
        "better": row.better,
        "in_overall": row.in_overall,
    }


def _run(row: RunResultRow | DriftRow) -> Mapping[str, object]:
    return {
        "run": row.run,
        "day": row.day,
        "day_date": date.fromisoformat(row.day[: len("2031-03-02")]),
        "at": row.at,
        "setup": row.setup,
        "protocol": row.protocol,
        "version": row.version,
        "series_version": row.version,
        "status": "valid",
    }


@dataclass(frozen=True)
class Cell:
    """What standings and control charts take from a cell."""

    setup: str
    protocol: str
    version: int
    decimals: int
    unusual_spread: bool
    why: str | None


def _cell(entry: Entry) -> Cell:
    return Cell(entry.setup, entry.protocol, entry.version, 1, unusual_spread=False, why=None)


def _standings(entries: Sequence[Entry]) -> list[StandingRow]:
    rows = []
    for key in dict.fromkeys((entry.protocol, entry.version) for entry in entries):
        here = [entry for entry in entries if (entry.protocol, entry.version) == key]
        rows += [_standing(entry, position) for position, entry in enumerate(here, start=1)]
    return rows


def _standing(entry: Entry, position: int) -> StandingRow:
    return StandingRow(
        protocol=entry.protocol,
        version=entry.version,
        place=position,
        setup=entry.setup,
        machine=entry.machine,
        maker=entry.maker,
        mean=entry.mean,
        low=entry.low,
        high=entry.high,
        n=len(entry.runs),
        place_best=entry.places[0],
        place_worst=entry.places[1],
        chance_top=None,
        top=entry.top,
        gap_to_first=0.0,
        told_from_first=False,
        relation_to_first="first",
        on_one_run=entry.on_one_run,
        one_sitting=False,
        provisional=entry.provisional,
        unit="%",
        decimals=1,
        position=position,
    )


def _runs(entries: Sequence[Entry]) -> list[RunResultRow]:
    return [
        RunResultRow(
            run=f"{entry.setup}-{entry.protocol}-{number}",
            day="2031-03-02-hall",
            at="2031-03-02",
            setup=entry.setup,
            protocol=entry.protocol,
            version=entry.version,
            series_version=entry.version,
            value=value,
            u_value=None,
            unit="%",
            flags="",
            file="by-hand.csv",
            row=number + 1,
        )
        for entry in entries
        for number, value in enumerate(entry.runs, start=1)
    ]
