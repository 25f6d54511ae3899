"""Rules for claims and units: what a claim states, of which set-up, and what an instrument shows.

In:  claims, protocols, set-ups and instruments of the catalogue; weighings and values.
Out: findings. A figure in an unknown unit is kept as stated, and compared with nothing. That an
     instrument is not named is no fault: the uncertainty is then unknown.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.rows import ClaimRecord, RunRecord
from trialpress.intake.rules.records import BenchRecords
from trialpress.units import UnknownUnitError, dimension_of

KNOWN_QUANTITIES: Mapping[str, str] = {
    "suction": "kPa",
    "airflow": "L/s",
    "rated-power": "W",
    "air-power": "W",
}
_GRAM = "g"


def check_claims(records: BenchRecords) -> Iterator[Finding]:
    """Check every claim's set-up, and its unit against the quantity it is a figure of.

    A quantity named after a protocol has the protocol's dimension, a well-known one its own, any
    other that of its first claim.
    """
    units: dict[str, str] = dict(KNOWN_QUANTITIES)
    units |= {row.protocol: row.unit for row in records.protocols.values() if _is_unit(row.unit)}
    for claim in records.claims:
        yield from _check_setup(claim, records.machine_of_setup)
        if _is_unit(claim.unit):
            yield from _check_dimension(claim, units.setdefault(claim.quantity, claim.unit))
        else:
            yield found(FindingCode.CLAIM_UNIT, claim.place("unit"), claim.unit)


def _check_setup(claim: ClaimRecord, machine_of_setup: Mapping[str, str]) -> Iterator[Finding]:
    """A set-up that is in no catalogue is another rule's finding."""
    other = machine_of_setup.get(claim.setup or "")
    if other is None or other == claim.machine:
        return
    own = sorted(name for name, machine in machine_of_setup.items() if machine == claim.machine)
    yield found(
        FindingCode.CLAIM_SETUP,
        claim.place("setup"),
        claim.setup,
        other=other,
        machine=claim.machine,
        setups=", ".join(own) or "none yet",
    )


def _check_dimension(claim: ClaimRecord, expected: str) -> Iterator[Finding]:
    is_, should_be = dimension_of(claim.unit), dimension_of(expected)
    if is_ != should_be:
        yield found(
            FindingCode.CLAIM_DIMENSION,
            claim.place("unit"),
            claim.unit,
            quantity=claim.quantity,
            dimension=is_,
            expected=should_be,
            unit=expected,
        )


def _is_unit(text: str) -> bool:
    try:
        dimension_of(text)
    except UnknownUnitError:
        return False
    return True


def check_instruments(records: BenchRecords) -> Iterator[Finding]:
    """Check the instruments that runs name."""
    for weighing in records.weighings:
        yield from _check_unit(weighing, "instrument", _GRAM, records)
        yield from _check_unit(weighing, "dose_instrument", _GRAM, records)
    for value in records.values:
        protocol = records.protocol_of(value)
        if protocol is not None and protocol.reading == "value":
            yield from _check_unit(value, "instrument", protocol.unit, records)


def _check_unit(run: RunRecord, column: str, unit: str, records: BenchRecords) -> Iterator[Finding]:
    instrument = records.instrument_of(run.text(column))
    if instrument is not None and instrument.unit != unit and not run.is_void:
        text = run.text(column)
        yield found(
            FindingCode.INSTRUMENT_UNIT, run.place(column), text, shows=instrument.unit, unit=unit
        )
