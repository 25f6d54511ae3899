"""Rules about days: when a run was made, and whether protocol and floor were there.

In:  runs, conditions, protocols and floors.
Out: findings. A run counts on the date of its day's folder.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from itertools import chain

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.rows import DatedRecord, FloorRecord, ProtocolRecord, RunRecord
from trialpress.intake.rules.records import BenchRecords

_NOON = "12:00"


def check_dates(records: BenchRecords) -> Iterator[Finding]:
    """Check the dates of runs that are not void, of the air, and of the catalogue."""
    runs = [run for run in records.runs if not run.is_void]
    for row in chain(runs, records.conditions):
        yield from _check_at(row)
    for protocol in records.protocols.values():
        yield from _check_order(protocol, "from_date", "to_date")
    for floor in records.floors.values():
        yield from _check_order(floor, "laid_on", "lifted_on")
    for run in runs:
        yield from _check_windows(run, records)


def check_not_ahead(records: BenchRecords, now: datetime) -> Iterator[Finding]:
    """Runs that were made by now, on the clock of the bench; planned ones are still to come."""
    clock = now.strftime("%Y-%m-%dT%H:%M")
    for run in records.runs:
        if not run.is_planned and run.at > clock:
            yield found(FindingCode.RUN_AHEAD, run.place("at"), run.at, now=clock)


def _check_at(row: DatedRecord) -> Iterator[Finding]:
    """A day may run past midnight, into the morning of the next date."""
    noted, _, time = row.at.partition("T")
    next_day = (row.day + timedelta(days=1)).isoformat()
    is_past_midnight = noted == next_day and bool(time) and time < _NOON
    if noted != row.day.isoformat() and not is_past_midnight:
        yield found(FindingCode.DATE_OTHER_DAY, row.place("at"), row.at, day=row.day.isoformat())


def _check_windows(run: RunRecord, records: BenchRecords) -> Iterator[Finding]:
    """A window whose own dates are reversed is told of its own row, not of every run."""
    protocol = records.protocol_of(run)
    if protocol is None:
        return
    if not any(_check_order(protocol, "from_date", "to_date")):
        yield from _check_protocol(run, protocol)
    floor = records.floors.get(protocol.floor or "")
    if floor is not None and not any(_check_order(floor, "laid_on", "lifted_on")):
        yield from _check_floor(run, floor)


def _check_protocol(run: RunRecord, protocol: ProtocolRecord) -> Iterator[Finding]:
    name = f"{run.protocol} version {run.version}"
    if run.day < protocol.from_date:
        yield _outside(FindingCode.PROTOCOL_NOT_YET, run, name, protocol.from_date)
    if protocol.to_date is not None and run.day > protocol.to_date:
        yield _outside(FindingCode.PROTOCOL_ENDED, run, name, protocol.to_date)


def _check_floor(run: RunRecord, floor: FloorRecord) -> Iterator[Finding]:
    if floor.laid_on is not None and run.day < floor.laid_on:
        yield _outside(FindingCode.FLOOR_NOT_LAID, run, floor.floor, floor.laid_on)
    if floor.lifted_on is not None and run.day > floor.lifted_on:
        yield _outside(FindingCode.FLOOR_LIFTED, run, floor.floor, floor.lifted_on)


def _outside(code: FindingCode, run: RunRecord, name: str, limit: date) -> Finding:
    details = {"name": name, "day": run.day.isoformat(), "limit": limit.isoformat()}
    return found(code, run.place("protocol"), run.text("protocol"), **details)


def _check_order(row: ProtocolRecord | FloorRecord, start: str, end: str) -> Iterator[Finding]:
    first, last = row.text(start), row.text(end)
    if first is not None and last is not None and last < first:
        yield found(FindingCode.DATES_REVERSED, row.place(end), last, start=start, first=first)
