"""Rules for protocols: what each reading needs, and how versions follow each other.

In:  the protocols of the catalogue.
Out: findings.
"""

from __future__ import annotations

from collections.abc import Iterator

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.records import Protocol
from trialpress.intake.rules.facts import Facts
from trialpress.intake.schemas import read_schema

PERCENT = "%"
STEPS = "steps"
_NEEDS = {
    "collected": ("dose_g",),
    "left": ("dose_g",),
    "graded": ("clean_limit", "zones"),
    "value": (),
    "count": (),
}
_PICKED_UP = ("collected", "left", "graded")
_COMPARABLE = ("reading", "unit", "better")


def check_protocols(facts: Facts) -> Iterator[Finding]:
    """Check every version of every protocol."""
    for protocol in facts.protocols.values():
        yield from _check_needs(protocol)
        yield from _check_result(protocol)
        yield from _check_better(protocol)
        yield from _check_limits(protocol)
        yield from _check_versions(protocol, facts)


def _check_needs(protocol: Protocol) -> Iterator[Finding]:
    for column in _NEEDS[protocol.reading]:
        if not protocol.has(column):
            place = protocol.place(column)
            meaning = read_schema("protocols").field(column).meaning
            facts = {"reading": protocol.reading, "meaning": meaning}
            yield found(FindingCode.PROTOCOL_INCOMPLETE, place, **facts)
    if protocol.has("dose_tolerance_g") and not protocol.has("dose_g"):
        place = protocol.place("dose_g")
        yield found(FindingCode.PROTOCOL_INCOMPLETE, place, variant="tolerance")


def _check_result(protocol: Protocol) -> Iterator[Finding]:
    """What is worked out from masses, grades and counts is a percentage."""
    if protocol.reading != "value" and protocol.unit != PERCENT:
        place = protocol.place("unit")
        yield found(FindingCode.PROTOCOL_UNIT, place, protocol.unit, reading=protocol.reading)


def check_overall(facts: Facts, by: str) -> Iterator[Finding]:
    """Check that every weight is one that an overall by ``ratio`` or by ``steps`` can give."""
    for protocol in facts.protocols.values():
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


def _check_better(protocol: Protocol) -> Iterator[Finding]:
    """Shares of what was picked up, or is clean, are better the higher they are."""
    if protocol.reading in _PICKED_UP and protocol.better != "higher":
        yield found(
            FindingCode.PROTOCOL_BETTER,
            protocol.place("better"),
            protocol.better,
            variant=protocol.reading,
            reading=protocol.reading,
        )


def _check_limits(protocol: Protocol) -> Iterator[Finding]:
    least, most = protocol.least, protocol.most
    if least is not None and most is not None and least >= most:
        place = protocol.place("most")
        yield found(
            FindingCode.LIMITS_REVERSED, place, protocol.text("most"), least=protocol.text("least")
        )


def _check_versions(protocol: Protocol, facts: Facts) -> Iterator[Finding]:
    if protocol.version == 1:
        if protocol.continues:
            yield found(FindingCode.CONTINUES_NOTHING, protocol.place("continues"), "true")
        return
    before = facts.protocols.get((protocol.protocol, protocol.version - 1))
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


def _changed(protocol: Protocol, before: Protocol, column: str) -> Finding:
    return found(
        FindingCode.CONTINUES_CHANGED,
        protocol.place(column),
        protocol.text(column),
        earlier=before.version,
        was=before.text(column),
    )
