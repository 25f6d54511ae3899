"""Rules for numbering: a run's name once in the bench, replicates without gap or repeat.

In:  runs of all days.
Out: findings. A void run may share its number with the run that took its place, and a planned
     one holds its number.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.records import Run
from trialpress.intake.rows import Row
from trialpress.intake.rules.facts import Facts


def check_replicates(facts: Facts) -> Iterator[Finding]:
    """Check the replicate numbers of each set-up in each protocol version."""
    runs = sorted(
        facts.runs, key=lambda run: (_cell(run), run.day, run.place().file, run.row.number)
    )
    for _, cell in groupby(runs, key=_cell):
        group = list(cell)
        yield from _repeats(group)
        if not any(_may_belong(row, group[0]) for row in facts.left_out):
            yield from _gaps(group)


def _cell(run: Run) -> tuple[str, str, int]:
    return (run.setup, run.protocol, run.version)


def _may_belong(row: Row, run: Run) -> bool:
    """Whether a row that is wrong somewhere may be one of the same set-up and protocol."""
    return row.cells["setup"] == run.setup or row.cells["protocol"] == run.protocol


def _repeats(runs: Sequence[Run]) -> Iterator[Finding]:
    first: dict[int, Run] = {}
    for run in runs:
        if run.is_void:
            continue
        earlier = first.setdefault(run.replicate, run)
        if earlier is not run:
            place = run.place("replicate")
            yield found(
                FindingCode.REPLICATE_REPEATED,
                place,
                run.text("replicate"),
                setup=run.setup,
                first=earlier.place().seen_from(place),
            )


def _gaps(runs: Sequence[Run]) -> Iterator[Finding]:
    """Name the numbers below a run's own that no run up to its day has, each of them once."""
    first_day: dict[int, date] = {}
    for run in runs:
        first_day[run.replicate] = min(run.day, first_day.get(run.replicate, run.day))
    named: set[int] = set()
    for run in sorted(runs, key=lambda run: run.replicate):
        if run.is_void:
            continue
        missing = [
            number
            for number in range(1, run.replicate)
            if number not in named and first_day.get(number, date.max) > run.day
        ]
        if missing:
            named.update(missing)
            yield found(
                FindingCode.REPLICATE_GAP,
                run.place("replicate"),
                run.text("replicate"),
                setup=run.setup,
                missing=_stretch(missing),
            )


def _stretch(numbers: Sequence[int]) -> str:
    """A few numbers one by one, many by their ends."""
    few = 5
    if len(numbers) <= few:
        return ", ".join(str(number) for number in numbers)
    return f"{numbers[0]} to {numbers[-1]}"
