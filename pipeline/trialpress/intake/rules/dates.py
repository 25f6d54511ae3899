"""Rules about days: when a run was made, and whether protocol and floor were there.

In:  runs, conditions, protocols and floors.
Out: findings. A run counts on the date of its day's folder.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from itertools import chain

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.records import Dated, Floor, Protocol, Run
from trialpress.intake.rules.facts import Facts

_NOON = "12:00"


def check_dates(facts: Facts) -> Iterator[Finding]:
    """Check the dates of runs that are not void, of the air, and of the catalogue."""
    runs = [run for run in facts.runs if not run.is_void]
    for row in chain(runs, facts.conditions):
        yield from _check_at(row)
    for protocol in facts.protocols.values():
        yield from _check_order(protocol, "from_date", "to_date")
    for floor in facts.floors.values():
        yield from _check_order(floor, "laid_on", "lifted_on")
    for run in runs:
        yield from _check_windows(run, facts)


def check_not_ahead(facts: Facts, now: datetime) -> Iterator[Finding]:
    """Runs that were made by now, on the clock of the bench; planned ones are still to come."""
    clock = now.strftime("%Y-%m-%dT%H:%M")
    for run in facts.runs:
        if not run.is_planned and run.at > clock:
            yield found(FindingCode.RUN_AHEAD, run.place("at"), run.at, now=clock)


def _check_at(row: Dated) -> Iterator[Finding]:
    """A day may run past midnight, into the morning of the next date."""
    noted, _, time = row.at.partition("T")
    next_day = (row.day + timedelta(days=1)).isoformat()
    is_past_midnight = noted == next_day and bool(time) and time < _NOON
    if noted != row.day.isoformat() and not is_past_midnight:
        yield found(FindingCode.DATE_OTHER_DAY, row.place("at"), row.at, day=row.day.isoformat())


def _check_windows(run: Run, facts: Facts) -> Iterator[Finding]:
    """A window whose own dates are reversed is told of its own row, not of every run."""
    protocol = facts.protocol_of(run)
    if protocol is None:
        return
    if not any(_check_order(protocol, "from_date", "to_date")):
        yield from _check_protocol(run, protocol)
    floor = facts.floors.get(protocol.floor)
    if floor is not None and not any(_check_order(floor, "laid_on", "lifted_on")):
        yield from _check_floor(run, floor)


def _check_protocol(run: Run, protocol: Protocol) -> Iterator[Finding]:
    name = f"{run.protocol} version {run.version}"
    if run.day < protocol.from_date:
        yield _outside(FindingCode.PROTOCOL_NOT_YET, run, name, protocol.from_date)
    if protocol.to_date is not None and run.day > protocol.to_date:
        yield _outside(FindingCode.PROTOCOL_ENDED, run, name, protocol.to_date)


def _check_floor(run: Run, floor: Floor) -> Iterator[Finding]:
    if floor.laid_on is not None and run.day < floor.laid_on:
        yield _outside(FindingCode.FLOOR_NOT_LAID, run, floor.floor, floor.laid_on)
    if floor.lifted_on is not None and run.day > floor.lifted_on:
        yield _outside(FindingCode.FLOOR_LIFTED, run, floor.floor, floor.lifted_on)


def _outside(code: FindingCode, run: Run, name: str, limit: date) -> Finding:
    facts = {"name": name, "day": run.day.isoformat(), "limit": limit.isoformat()}
    return found(code, run.place("protocol"), run.text("protocol"), **facts)


def _check_order(row: Protocol | Floor, start: str, end: str) -> Iterator[Finding]:
    first, last = row.text(start), row.text(end)
    if first is not None and last is not None and last < first:
        yield found(FindingCode.DATES_REVERSED, row.place(end), last, start=start, first=first)
