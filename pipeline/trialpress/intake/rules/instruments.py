"""Rules for instruments: what they show is in the unit of the reading they are named for.

In:  weighings and values, their instruments and protocols.
Out: findings. That an instrument is not named is no fault: the uncertainty is then unknown.
"""

from __future__ import annotations

from collections.abc import Iterator

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.records import Run
from trialpress.intake.rules.facts import Facts

_GRAM = "g"


def check_instruments(facts: Facts) -> Iterator[Finding]:
    """Check the instruments that runs name."""
    for weighing in facts.weighings:
        yield from _check_unit(weighing, "instrument", _GRAM, facts)
        yield from _check_unit(weighing, "dose_instrument", _GRAM, facts)
    for value in facts.values:
        protocol = facts.protocol_of(value)
        if protocol is not None and protocol.reading == "value":
            yield from _check_unit(value, "instrument", protocol.unit, facts)


def _check_unit(run: Run, column: str, unit: str, facts: Facts) -> Iterator[Finding]:
    instrument = facts.instrument_of(run.text(column))
    if instrument is not None and instrument.unit != unit and not run.is_void:
        text = run.text(column)
        yield found(
            FindingCode.INSTRUMENT_UNIT, run.place(column), text, shows=instrument.unit, unit=unit
        )
