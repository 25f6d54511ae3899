"""What the rules are told: the bench's rows with types, found by their keys.

In:  corrected rows of all tables, and the cells known to be at fault.
Out: ``Facts``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby
from pathlib import Path

from trialpress.bench import DAY_TABLES, READING_TABLES
from trialpress.intake.records import (
    Claim,
    Condition,
    Count,
    Faults,
    Floor,
    Grading,
    Instrument,
    Photo,
    Protocol,
    Run,
    Value,
    Weighing,
    is_usable,
    read_records,
)
from trialpress.intake.rows import Row
from trialpress.intake.screening import Tables


@dataclass(frozen=True)
class Facts:
    """Rows that are right by themselves.

    ``runs`` has one entry a run: of a graded run the first row, with the status of the whole.
    ``left_out`` holds the rows of runs that something is wrong with already: where they might
    belong, a rule does not say that anything is missing.
    """

    days_folder: Path
    floors: Mapping[str, Floor]
    instruments: Mapping[str, Instrument]
    protocols: Mapping[tuple[str, int], Protocol]
    claims: tuple[Claim, ...]
    weighings: tuple[Weighing, ...]
    values: tuple[Value, ...]
    counts: tuple[Count, ...]
    gradings: tuple[Grading, ...]
    runs: tuple[Run, ...]
    conditions: tuple[Condition, ...]
    photos: tuple[Photo, ...]
    left_out: tuple[Row, ...]
    kind_of_setup: Mapping[str, str]
    machine_of_setup: Mapping[str, str]
    has_faulty_machines: bool

    def without(self, left_out: frozenset[str]) -> Facts:
        """The same without some runs, given by their names."""
        return replace(
            self,
            weighings=tuple(run for run in self.weighings if run.run not in left_out),
            values=tuple(run for run in self.values if run.run not in left_out),
            counts=tuple(run for run in self.counts if run.run not in left_out),
            gradings=tuple(run for run in self.gradings if run.run not in left_out),
            runs=tuple(run for run in self.runs if run.run not in left_out),
        )

    def protocol_of(self, run: Run) -> Protocol | None:
        """The protocol version a run followed, where its own row is right."""
        return self.protocols.get((run.protocol, run.version))

    def series_start(self, protocol: Protocol) -> int:
        """The first version of the series a protocol version belongs to."""
        version = protocol.version
        here: Protocol | None = protocol
        while here is not None and here.continues and version > 1:
            version -= 1
            here = self.protocols.get((protocol.protocol, version))
        return version

    def instrument_of(self, name: str | None) -> Instrument | None:
        """The instrument of that name; ``None`` where none is named or its row is at fault."""
        return self.instruments.get(name) if name is not None else None


def gather_facts(tables: Tables, faults: Faults, days_folder: Path, as_of: date | None) -> Facts:
    """Give the rules the catalogue, and the days up to ``as_of`` (``None``: all days)."""
    seen = {table: tuple(_until(as_of, rows)) for table, rows in tables.items()}
    weighings = read_records(Weighing, seen["weighings"], faults)
    values = read_records(Value, seen["values"], faults)
    counts = read_records(Count, seen["counts"], faults)
    gradings = read_records(Grading, seen["gradings"], faults)
    return Facts(
        days_folder=days_folder,
        floors={row.floor: row for row in read_records(Floor, seen["floors"], faults)},
        instruments={
            row.instrument: row for row in read_records(Instrument, seen["instruments"], faults)
        },
        protocols={
            (row.protocol, row.version): row
            for row in read_records(Protocol, seen["protocols"], faults)
        },
        claims=read_records(Claim, seen["claims"], faults),
        weighings=weighings,
        values=values,
        counts=counts,
        gradings=gradings,
        runs=(*weighings, *values, *counts, *_graded_runs(gradings)),
        conditions=read_records(Condition, seen["conditions"], faults),
        photos=read_records(Photo, seen["photos"], faults),
        left_out=tuple(
            row for table in READING_TABLES for row in seen[table] if not is_usable(row, faults)
        ),
        kind_of_setup=dict(_kinds(seen)),
        machine_of_setup=dict(_machines(seen)),
        has_faulty_machines=any(
            (row.file, row.number) in faults for row in (*seen["machines"], *seen["setups"])
        ),
    )


def _kinds(tables: Tables) -> Iterator[tuple[str, str]]:
    """The kind of each set-up's machine, as far as both are there."""
    kinds = {row.cells["machine"]: row.cells["kind"] for row in tables["machines"]}
    for setup, machine in _machines(tables):
        if (kind := kinds.get(machine)) is not None:
            yield setup, kind


def _machines(tables: Tables) -> Iterator[tuple[str, str]]:
    """The machine of each set-up, as far as both are typed."""
    for row in tables["setups"]:
        setup, machine = row.cells["setup"], row.cells["machine"]
        if setup is not None and machine is not None:
            yield setup, machine


def _until(as_of: date | None, rows: Iterable[Row]) -> Iterable[Row]:
    for row in rows:
        is_later = as_of is not None and row.day_date is not None and row.day_date > as_of
        if not (is_later and row.table in DAY_TABLES):
            yield row


def rows_by_run(gradings: Iterable[Grading]) -> list[tuple[Grading, ...]]:
    """The rows of each graded run, in the order of the runs' names."""
    by_name = sorted(gradings, key=lambda grading: grading.run)
    return [tuple(rows) for _, rows in groupby(by_name, key=lambda grading: grading.run)]


def _graded_runs(gradings: Iterable[Grading]) -> list[Grading]:
    return [replace(rows[0], status=status_of(rows)) for rows in rows_by_run(gradings)]


def status_of(rows: Iterable[Grading]) -> str:
    """One void row voids a graded run; one that is graded makes it a run that was made.

    The words' alphabetical order is the order they outdo each other in, here and in ``runs.sql``.
    """
    return max(row.status for row in rows)
