"""Rules for claims: units that are known, one dimension for each quantity, set-ups of the machine.

In:  the claims, protocols and set-ups of the catalogue.
Out: findings. A figure in an unknown unit is kept as stated, and compared with nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.records import Claim
from trialpress.intake.rules.facts import Facts
from trialpress.units import UnknownUnitError, dimension_of

KNOWN_QUANTITIES: Mapping[str, str] = {
    "suction": "kPa",
    "airflow": "L/s",
    "rated-power": "W",
    "air-power": "W",
}


def check_claims(facts: Facts) -> Iterator[Finding]:
    """Check every claim's set-up, and its unit against the quantity it is a figure of.

    A quantity named after a protocol has the protocol's dimension, a well-known one its own, any
    other that of its first claim.
    """
    units: dict[str, str] = dict(KNOWN_QUANTITIES)
    units |= {row.protocol: row.unit for row in facts.protocols.values() if _is_unit(row.unit)}
    for claim in facts.claims:
        yield from _check_setup(claim, facts.machine_of_setup)
        if _is_unit(claim.unit):
            yield from _check_dimension(claim, units.setdefault(claim.quantity, claim.unit))
        else:
            yield found(FindingCode.CLAIM_UNIT, claim.place("unit"), claim.unit)


def _check_setup(claim: Claim, machine_of_setup: Mapping[str, str]) -> Iterator[Finding]:
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


def _check_dimension(claim: Claim, expected: str) -> Iterator[Finding]:
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
