"""What the rules look at: the bench's rows with types, found by their keys.

In:  corrected rows of all tables, and the cells known to be at fault.
Out: ``BenchRecords``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby
from pathlib import Path

from trialpress.bench import DAY_TABLES, READING_TABLES
from trialpress.intake.rows import (
    ClaimRecord,
    ConditionRecord,
    CountRecord,
    Faults,
    FloorRecord,
    GradingRecord,
    InstrumentRecord,
    PhotoRecord,
    ProtocolRecord,
    Row,
    RunRecord,
    Tables,
    ValueRecord,
    WeighingRecord,
    is_usable,
    read_records,
)


@dataclass(frozen=True)
class BenchRecords:
    """Rows that are right by themselves.

    ``runs`` has one entry a run: of a graded run the first row, with the status of the whole.
    ``left_out`` holds the rows of runs that something is wrong with already: where they might
    belong, a rule does not say that anything is missing.
    """

    days_folder: Path
    floors: Mapping[str, FloorRecord]
    instruments: Mapping[str, InstrumentRecord]
    protocols: Mapping[tuple[str, int], ProtocolRecord]
    claims: tuple[ClaimRecord, ...]
    weighings: tuple[WeighingRecord, ...]
    values: tuple[ValueRecord, ...]
    counts: tuple[CountRecord, ...]
    gradings: tuple[GradingRecord, ...]
    runs: tuple[RunRecord, ...]
    conditions: tuple[ConditionRecord, ...]
    photos: tuple[PhotoRecord, ...]
    left_out: tuple[Row, ...]
    kind_of_setup: Mapping[str, str]
    machine_of_setup: Mapping[str, str]
    has_faulty_machines: bool

    def without(self, left_out: frozenset[str]) -> BenchRecords:
        """The same without some runs, given by their names."""
        return replace(
            self,
            weighings=tuple(run for run in self.weighings if run.run not in left_out),
            values=tuple(run for run in self.values if run.run not in left_out),
            counts=tuple(run for run in self.counts if run.run not in left_out),
            gradings=tuple(run for run in self.gradings if run.run not in left_out),
            runs=tuple(run for run in self.runs if run.run not in left_out),
        )

    def protocol_of(self, run: RunRecord) -> ProtocolRecord | None:
        """The protocol version a run followed, where its own row is right."""
        return self.protocols.get((run.protocol, run.version))

    def series_start(self, protocol: ProtocolRecord) -> int:
        """The first version of the series a protocol version belongs to."""
        version = protocol.version
        here: ProtocolRecord | None = protocol
        while here is not None and here.continues and version > 1:
            version -= 1
            here = self.protocols.get((protocol.protocol, version))
        return version

    def instrument_of(self, name: str | None) -> InstrumentRecord | None:
        """The instrument of that name; ``None`` where none is named or its row is at fault."""
        return self.instruments.get(name) if name is not None else None


def gather_records(
    tables: Tables, faults: Faults, days_folder: Path, as_of: date | None
) -> BenchRecords:
    """Give the rules the catalogue, and the days up to ``as_of`` (``None``: all days)."""
    seen = {table: tuple(_until(as_of, rows)) for table, rows in tables.items()}
    weighings = read_records(WeighingRecord, seen["weighings"], faults)
    values = read_records(ValueRecord, seen["values"], faults)
    counts = read_records(CountRecord, seen["counts"], faults)
    gradings = read_records(GradingRecord, seen["gradings"], faults)
    return BenchRecords(
        days_folder=days_folder,
        floors={row.floor: row for row in read_records(FloorRecord, seen["floors"], faults)},
        instruments={
            row.instrument: row
            for row in read_records(InstrumentRecord, seen["instruments"], faults)
        },
        protocols={
            (row.protocol, row.version): row
            for row in read_records(ProtocolRecord, seen["protocols"], faults)
        },
        claims=read_records(ClaimRecord, seen["claims"], faults),
        weighings=weighings,
        values=values,
        counts=counts,
        gradings=gradings,
        runs=(*weighings, *values, *counts, *_graded_runs(gradings)),
        conditions=read_records(ConditionRecord, seen["conditions"], faults),
        photos=read_records(PhotoRecord, seen["photos"], faults),
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


def rows_by_run(gradings: Iterable[GradingRecord]) -> list[tuple[GradingRecord, ...]]:
    """The rows of each graded run, in the order of the runs' names."""
    by_name = sorted(gradings, key=lambda grading: grading.run)
    return [tuple(rows) for _, rows in groupby(by_name, key=lambda grading: grading.run)]


def _graded_runs(gradings: Iterable[GradingRecord]) -> list[GradingRecord]:
    return [replace(rows[0], status=status_of(rows)) for rows in rows_by_run(gradings)]


def status_of(rows: Iterable[GradingRecord]) -> str:
    """One void row voids a graded run; one that is graded makes it a run that was made.

    The words' alphabetical order is the order they outdo each other in, here and in ``runs.sql``.
    """
    return max(row.status for row in rows)
