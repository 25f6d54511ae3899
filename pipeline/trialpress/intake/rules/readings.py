"""Rules for every run: its table, its status, and that its readings are there.

In:  runs of all four reading tables.
Out: findings.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.records import Count, Run
from trialpress.intake.rules.facts import Facts
from trialpress.intake.schemas import read_schema

TABLE_OF = {
    "collected": "weighings",
    "left": "weighings",
    "graded": "gradings",
    "value": "values",
    "count": "counts",
}
_READINGS = {
    "weighings": ("dose_g", "before_g", "after_g", "gain_g", "blank_g"),
    "values": ("value",),
    "counts": ("hits", "tries"),
    "gradings": ("grade",),
}


def check_readings(facts: Facts) -> Iterator[Finding]:
    """Check every run, and of graded runs every row."""
    for run in facts.runs:
        yield from _check_table(run, facts)
    void_runs = {run.run for run in facts.runs if run.is_void}
    for row in chain(facts.weighings, facts.values, facts.counts, facts.gradings):
        if row.is_void and not row.has("reason"):
            yield found(FindingCode.VOID_WITHOUT_REASON, row.place("reason"))
        if row.is_planned:
            yield from _check_planned(row)
        elif row.run not in void_runs:
            yield from _check_filled_in(row)
    for count in facts.counts:
        yield from _check_count(count)


def _check_table(run: Run, facts: Facts) -> Iterator[Finding]:
    protocol = facts.protocol_of(run)
    if protocol is not None and not run.is_void and run.table != TABLE_OF[protocol.reading]:
        yield found(
            FindingCode.WRONG_TABLE,
            run.place("protocol"),
            run.protocol,
            reading=protocol.reading,
            right=TABLE_OF[protocol.reading],
        )


def _check_planned(row: Run) -> Iterator[Finding]:
    for column in _READINGS[row.table]:
        if row.has(column):
            yield found(FindingCode.PLANNED_WITH_READING, row.place(column), row.text(column))


def _check_filled_in(row: Run) -> Iterator[Finding]:
    for field in read_schema(row.table).fields:
        if field.blank_until_run and not row.has(field.name):
            yield found(FindingCode.READING_MISSING, row.place(field.name), meaning=field.meaning)


def _check_count(count: Count) -> Iterator[Finding]:
    if not count.is_valid or count.hits is None or count.tries is None:
        return
    if count.hits > count.tries:
        place = count.place("hits")
        yield found(FindingCode.HITS_ABOVE_TRIES, place, count.text("hits"), tries=count.tries)
