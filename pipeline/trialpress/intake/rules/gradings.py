"""Rules for graded runs: rows that belong together agree, and every grader graded every zone.

In:  gradings, and the protocols that say how many zones there are.
Out: findings.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.rows import GradingRecord
from trialpress.intake.rules.records import BenchRecords, rows_by_run, status_of

_SHARED = ("at", "setup", "protocol", "version", "replicate")


def check_gradings(records: BenchRecords) -> Iterator[Finding]:
    """Check each graded run as a whole; a void or planned one need not be complete."""
    left_out = {row.cells["run"] for row in records.left_out}
    for rows in rows_by_run(records.gradings):
        yield from _check_agreement(rows)
        yield from _check_planned(rows)
        protocol = records.protocol_of(rows[0])
        is_checked = status_of(rows) == "valid" and rows[0].run not in left_out
        if is_checked and protocol is not None and protocol.zones is not None:
            yield from _check_zones(rows, protocol.zones)


def _check_agreement(rows: Sequence[GradingRecord]) -> Iterator[Finding]:
    first = rows[0]
    for row in rows[1:]:
        for column in _SHARED:
            if row.row.day == first.row.day and row.text(column) != first.text(column):
                place, first_place = row.place(column), first.place()
                yield found(
                    FindingCode.GRADING_DISAGREES,
                    place,
                    row.text(column),
                    first=first_place.seen_from(place),
                    other=first.text(column),
                )


def _check_planned(rows: Sequence[GradingRecord]) -> Iterator[Finding]:
    """Once a run is made, each of its zones is graded."""
    if status_of(rows) == "valid":
        for row in rows:
            if row.is_planned:
                yield found(
                    FindingCode.GRADING_PLANNED, row.place("status"), row.status, zone=row.zone
                )


def _check_zones(rows: Sequence[GradingRecord], zones: int) -> Iterator[Finding]:
    graded = _zones_by_grader(rows)
    complete = [seen for seen in graded.values() if len(seen) <= zones]
    named = frozenset().union(*complete)
    for grader, seen in sorted(graded.items()):
        details = {"grader": grader, "seen": str(len(seen)), "zones": str(zones)}
        place = next(row for row in rows if row.grader == grader).place("zone")
        if len(seen) > zones:
            yield found(FindingCode.ZONE_UNEXPECTED, place, **details)
        elif named - seen:
            missing = ", ".join(sorted(named - seen))
            yield found(
                FindingCode.ZONE_MISSING, place, variant="named", missing=missing, **details
            )
        elif len(seen) < zones:
            yield found(FindingCode.ZONE_MISSING, place, **details)


def _zones_by_grader(rows: Sequence[GradingRecord]) -> Mapping[str, frozenset[str]]:
    """The zones each grader has a row for; what is wrong with a row is said of it."""
    graders = {row.grader for row in rows}
    return {
        grader: frozenset(row.zone for row in rows if row.grader == grader) for grader in graders
    }
