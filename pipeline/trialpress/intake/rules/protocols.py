"""Rules for protocols: what a reading needs, how versions follow, which kinds they are for.

In:  the protocols and machines of the catalogue, and runs.
Out: findings. Where a protocol names no kinds of machines, it applies to all.
"""

from __future__ import annotations

from collections.abc import Iterator

from trialpress.bench import applies_to, kinds_of
from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.nearest import nearest
from trialpress.intake.rows import ProtocolRecord
from trialpress.intake.rules.records import BenchRecords
from trialpress.intake.schemas import read_schema

PERCENT = "%"
STEPS = "steps"
_NEEDS = {
    "collected": ("floor", "dose_g"),
    "left": ("floor", "dose_g"),
    "graded": ("floor", "clean_limit", "zones"),
    "value": (),
    "count": ("floor",),
}
_PICKED_UP = ("collected", "left", "graded")
_COMPARABLE = ("reading", "unit", "better")


def check_protocols(records: BenchRecords) -> Iterator[Finding]:
    """Check every version of every protocol."""
    for protocol in records.protocols.values():
        yield from _check_needs(protocol)
        yield from _check_result(protocol)
        yield from _check_better(protocol)
        yield from _check_limits(protocol)
        yield from _check_versions(protocol, records)


def _check_needs(protocol: ProtocolRecord) -> Iterator[Finding]:
    for column in _NEEDS[protocol.reading]:
        if not protocol.has(column):
            place = protocol.place(column)
            meaning = read_schema("protocols").field(column).meaning
            details = {"reading": protocol.reading, "meaning": meaning}
            yield found(FindingCode.PROTOCOL_INCOMPLETE, place, **details)
    if protocol.has("dose_tolerance_g") and not protocol.has("dose_g"):
        place = protocol.place("dose_g")
        yield found(FindingCode.PROTOCOL_INCOMPLETE, place, variant="tolerance")


def _check_result(protocol: ProtocolRecord) -> Iterator[Finding]:
    """What is worked out from masses, grades and counts is a percentage."""
    if protocol.reading != "value" and protocol.unit != PERCENT:
        place = protocol.place("unit")
        yield found(FindingCode.PROTOCOL_UNIT, place, protocol.unit, reading=protocol.reading)


def check_overall(records: BenchRecords, by: str) -> Iterator[Finding]:
    """Check that every weight is one that an overall by ``ratio`` or by ``steps`` can give."""
    for protocol in records.protocols.values():
        is_percentage = (protocol.unit, protocol.better) == (PERCENT, "higher")
        if protocol.in_overall > 0 and not (protocol.matters > 0 if by == STEPS else is_percentage):
            yield found(
                FindingCode.OVERALL_UNDEFINED,
                protocol.place("in_overall"),
                protocol.text("in_overall"),
                variant=STEPS if by == STEPS else "",
                unit=protocol.unit,
                better=protocol.better,
            )


def _check_better(protocol: ProtocolRecord) -> Iterator[Finding]:
    """Shares of what was picked up, or is clean, are better the higher they are."""
    if protocol.reading in _PICKED_UP and protocol.better != "higher":
        yield found(
            FindingCode.PROTOCOL_BETTER,
            protocol.place("better"),
            protocol.better,
            variant=protocol.reading,
            reading=protocol.reading,
        )


def _check_limits(protocol: ProtocolRecord) -> Iterator[Finding]:
    least, most = protocol.least, protocol.most
    if least is not None and most is not None and least >= most:
        place = protocol.place("most")
        yield found(
            FindingCode.LIMITS_REVERSED, place, protocol.text("most"), least=protocol.text("least")
        )


def _check_versions(protocol: ProtocolRecord, records: BenchRecords) -> Iterator[Finding]:
    if protocol.version == 1:
        if protocol.continues:
            yield found(FindingCode.CONTINUES_NOTHING, protocol.place("continues"), "true")
        return
    before = records.protocols.get((protocol.protocol, protocol.version - 1))
    if before is None:
        yield found(
            FindingCode.VERSION_GAP,
            protocol.place("version"),
            protocol.text("version"),
            protocol=protocol.protocol,
            missing=protocol.version - 1,
        )
    elif protocol.continues:
        for column in _COMPARABLE:
            if protocol.text(column) != before.text(column):
                yield _changed(protocol, before, column)


def _changed(protocol: ProtocolRecord, before: ProtocolRecord, column: str) -> Finding:
    return found(
        FindingCode.CONTINUES_CHANGED,
        protocol.place(column),
        protocol.text(column),
        earlier=before.version,
        was=before.text(column),
    )


def check_kinds(records: BenchRecords) -> Iterator[Finding]:
    """Check that kinds are kinds of some machine, and that runs are of a kind that is meant.

    Where the row of some machine is at fault, nothing is said of kinds that nobody has: its own may
    be one of them.
    """
    known = frozenset(records.kind_of_setup.values())
    for protocol in records.protocols.values():
        for kind in () if records.has_faulty_machines else kinds_of(protocol.kinds):
            if kind not in known:
                near = nearest(kind, known)
                yield found(
                    FindingCode.KIND_UNKNOWN,
                    protocol.place("kinds"),
                    kind,
                    variant="nearest" if near else "",
                    nearest=near,
                    known=", ".join(sorted(known)) or "none yet",
                )
    for run in records.runs:
        meant, own = records.protocol_of(run), records.kind_of_setup.get(run.setup)
        if meant is None or own is None or run.is_void or applies_to(meant.kinds, own):
            continue
        if not known.issuperset(kinds_of(meant.kinds)):
            continue  # a kind that nobody has is told of the protocol, not of every run
        place, kinds = run.place("setup"), meant.text("kinds")
        yield found(FindingCode.RUN_OTHER_KIND, place, run.setup, kind=own, kinds=kinds)
