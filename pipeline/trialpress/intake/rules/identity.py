"""Rules for names: a run's name stands for one run in the whole bench, and a photo's run exists.

In:  rows as typed of all days; they need not be right otherwise.
Out: findings.
"""

from __future__ import annotations

from collections.abc import Iterator

from trialpress.bench import READING_TABLES
from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.nearest import nearest
from trialpress.intake.rows import Row
from trialpress.intake.screening import Tables


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
