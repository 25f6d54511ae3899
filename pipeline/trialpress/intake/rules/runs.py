"""Rules for every run: its name, table, status and number, and that its readings are there.

In:  runs of all four reading tables and of all days; for names, rows as typed, right or not.
Out: findings. Gaps in the numbers and late arrivals are no fault. A void run may share its number
     with the run that took its place, where both are typed; a planned run has none yet.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from trialpress.bench import READING_COLUMNS, READING_TABLES, TABLE_OF_READING
from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.nearest import nearest
from trialpress.intake.rows import CountRecord, Row, RunRecord, Tables
from trialpress.intake.rules.records import BenchRecords
from trialpress.intake.schemas import read_schema


def check_readings(records: BenchRecords) -> Iterator[Finding]:
    """Check every run, and of graded runs every row."""
    for run in records.runs:
        yield from _check_table(run, records)
    void_runs = {run.run for run in records.runs if run.is_void}
    for row in chain(records.weighings, records.values, records.counts, records.gradings):
        if row.is_void and not row.has("reason"):
            yield found(FindingCode.VOID_WITHOUT_REASON, row.place("reason"))
        if row.is_planned:
            yield from _check_planned(row)
        elif row.run not in void_runs:
            yield from _check_filled_in(row)
    for count in records.counts:
        yield from _check_count(count)


def _check_table(run: RunRecord, records: BenchRecords) -> Iterator[Finding]:
    protocol = records.protocol_of(run)
    if protocol is not None and not run.is_void and run.table != TABLE_OF_READING[protocol.reading]:
        yield found(
            FindingCode.WRONG_TABLE,
            run.place("protocol"),
            run.protocol,
            reading=protocol.reading,
            right=TABLE_OF_READING[protocol.reading],
        )


def _check_planned(row: RunRecord) -> Iterator[Finding]:
    for column in READING_COLUMNS[row.table]:
        if row.has(column):
            yield found(FindingCode.PLANNED_WITH_READING, row.place(column), row.text(column))


def _check_filled_in(row: RunRecord) -> Iterator[Finding]:
    for field in read_schema(row.table).fields:
        if field.blank_until_run and not row.has(field.name):
            yield found(FindingCode.READING_MISSING, row.place(field.name), meaning=field.meaning)


def _check_count(count: CountRecord) -> Iterator[Finding]:
    if not count.is_valid or count.hits is None or count.tries is None:
        return
    if count.hits > count.tries:
        place = count.place("hits")
        yield found(FindingCode.HITS_ABOVE_TRIES, place, count.text("hits"), tries=count.tries)


def check_identities(tables: Tables, unsure: frozenset[str]) -> Iterator[Finding]:
    """Check the names of runs, and the runs that photos name unless some may be hidden."""
    first: dict[str | None, Row] = {}
    rows = (row for table in READING_TABLES for row in tables[table])
    for row in sorted(rows, key=lambda row: (row.file, row.number)):
        earlier = first.setdefault(row.cells["run"], row)
        if earlier is not row and row.cells["run"] is not None and not _is_same_run(row, earlier):
            place = row.place("run")
            where = earlier.place().seen_from(place)
            yield found(FindingCode.RUN_REPEATED, place, row.cells["run"], first=where)
    for photo in () if unsure.intersection(READING_TABLES) else tables["photos"]:
        run = photo.cells["run"]
        if run is not None and run not in first:
            that_day = (name for name, row in first.items() if name and row.day == photo.day)
            near = nearest(run, frozenset(that_day))
            variant = "nearest" if near else ""
            place = photo.place("run")
            yield found(FindingCode.RUN_UNKNOWN, place, run, variant=variant, nearest=near)


def _is_same_run(row: Row, other: Row) -> bool:
    """Whether both are rows of one graded run, which has a row for each zone and grader."""
    return row.table == other.table == "gradings" and row.day == other.day


def check_replicates(records: BenchRecords) -> Iterator[Finding]:
    """Find numbers that two runs of one set-up and protocol version have."""
    first: dict[tuple[str, str, int, int], RunRecord] = {}
    runs = (run for run in records.runs if run.replicate is not None and run.is_valid)
    for run in sorted(runs, key=lambda run: (run.day, run.place().file, run.row.number)):
        key = (run.setup, run.protocol, run.version, run.replicate or 0)
        earlier = first.setdefault(key, run)
        if earlier is not run:
            place = run.place("replicate")
            yield found(
                FindingCode.REPLICATE_REPEATED,
                place,
                run.text("replicate"),
                setup=run.setup,
                first=earlier.place().seen_from(place),
            )
