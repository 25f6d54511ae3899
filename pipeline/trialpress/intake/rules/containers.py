"""Rules for what a container weighs when empty, and for runs that were typed twice.

In:  valid weighings of what machines collected.
Out: warnings. An empty mass is unusual where it differs from the median of its set-up by more than
     a part of the dose, as what clings to a container is far less.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from statistics import median

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.rows import WeighingRecord
from trialpress.intake.rules.records import BenchRecords
from trialpress.intake.rules.weighings import gain_of

PART_OF_DOSE = Decimal("0.25")
"""Of the dose, that an empty mass may be off. *Common practice, no source.*"""
_FEWEST_RUNS = 3
_KILO = 1000
_READINGS = ("dose_g", "before_g", "after_g")


def check_containers(records: BenchRecords) -> Iterator[Finding]:
    """Compare the empty masses of each set-up, and the readings of all runs."""
    runs = [run for run in records.weighings if run.is_valid]
    yield from _repeats(runs)
    collected = [run for run in runs if _is_collected(run, records) and run.before_g is not None]
    by_setup: dict[str, list[WeighingRecord]] = {}
    for run in collected:
        by_setup.setdefault(run.setup, []).append(run)
    usual = {setup: median(_masses(cell)) for setup, cell in by_setup.items()}
    for cell in by_setup.values():
        for run in cell if len(cell) >= _FEWEST_RUNS else ():
            yield from _unusual(run, cell, usual)


def _is_collected(run: WeighingRecord, records: BenchRecords) -> bool:
    protocol = records.protocol_of(run)
    return protocol is not None and protocol.reading == "collected"


def _masses(runs: Iterable[WeighingRecord]) -> list[Decimal]:
    return [run.before_g for run in runs if run.before_g is not None]


def _unusual(
    run: WeighingRecord, cell: Iterable[WeighingRecord], usual: Mapping[str, Decimal]
) -> Iterator[Finding]:
    if run.before_g is None or run.dose_g is None:
        return
    empty, allowed = usual[run.setup], run.dose_g * PART_OF_DOSE
    if abs(run.before_g - empty) <= allowed:
        return
    slip = _slip(run.before_g, empty, allowed, cell)
    near = [
        name
        for name, mass in usual.items()
        if name != run.setup and abs(mass - run.before_g) <= allowed
    ]
    if not slip and len(near) == 1:
        slip = f"it looks like the container of {near[0]}"
    yield found(
        FindingCode.EMPTY_MASS_UNUSUAL,
        run.place("before_g"),
        run.text("before_g"),
        variant="slip" if slip else "",
        setup=run.setup,
        usual=f"{empty:f}",
        off=f"{abs(run.before_g - empty):f}",
        slip=slip,
    )


def _slip(mass: Decimal, empty: Decimal, allowed: Decimal, cell: Iterable[WeighingRecord]) -> str:
    if abs(mass * _KILO - empty) <= allowed:
        return "it looks like kilograms"
    if abs(mass) <= allowed:
        return "the balance looks tared with the container on it"
    gains = [gain for run in cell if (gain := gain_of(run)) is not None and gain > allowed]
    if any(abs(mass - empty - gain) <= allowed for gain in gains):
        return "the container looks not emptied"
    return ""


def _repeats(runs: Iterable[WeighingRecord]) -> Iterator[Finding]:
    first: dict[tuple[str | None, ...], WeighingRecord] = {}
    for run in runs:
        texts = tuple(run.text(column) for column in _READINGS)
        if None not in texts:
            earlier = first.setdefault((run.protocol, *texts), run)
            if earlier is not run:
                place, text = run.place("after_g"), run.text("after_g")
                yield found(FindingCode.READINGS_REPEATED, place, text, first=earlier.run)
