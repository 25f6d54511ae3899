"""Claims of spec sheets, brought to one unit and held against measurements.

In:  the claims as stated, and what set-ups as unboxed measure.
Out: ``ClaimCheckRow`` records. A claim is measured where its quantity bears the name of a protocol.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from trialpress.analyses.machines import PACKAGE
from trialpress.analyses.records import ClaimCheckRow
from trialpress.store import Store, read_sql
from trialpress.units import Measure, UnknownUnitError, normalised
from trialpress.words import say

STATED_DIGITS = 6
KEPT, NOT_KEPT, CANNOT_TELL = "kept", "not kept", "cannot tell"


@dataclass(frozen=True)
class Claim:
    """A claim as stated."""

    claim: str
    machine: str
    maker: str
    quantity: str
    value: float
    unit: str
    source: str
    stated_on: date
    is_newest: bool

    def measure(self) -> Measure | None:
        """The figure in the unit of its dimension; None where its unit is not known."""
        try:
            told = normalised(self.value, self.unit)
        except UnknownUnitError:
            return None
        return replace(told, value=significant(told.value))


@dataclass(frozen=True)
class Measured:
    """A set-up's mean in a current series."""

    protocol: str
    version: int
    setup: str
    machine: str
    mean: float
    low: float | None
    high: float | None
    n: int
    unit: str
    higher_is_better: bool
    decimals: int
    why: str | None


def significant(value: float) -> float:
    """A converted figure without the noise of the conversion."""
    return float(f"{value:.{STATED_DIGITS}g}")


def read_claims(store: Store) -> list[Claim]:
    """All claims, by machine, quantity and date."""
    return store.records(Claim, read_sql(PACKAGE, "queries/claims.sql"))


def read_measured(store: Store) -> list[Measured]:
    """What set-ups as unboxed measure in current series."""
    return store.records(Measured, read_sql(PACKAGE, "queries/measured.sql"))


def check_claims(claims: Sequence[Claim], measured: Sequence[Measured]) -> list[ClaimCheckRow]:
    """Hold every claim against every measurement there is of it."""
    protocols = {row.protocol for row in measured}
    by_machine: dict[tuple[str, str], list[Measured]] = {}
    for row in measured:
        by_machine.setdefault((row.machine, row.protocol), []).append(row)
    return [row for claim in claims for row in _checks(claim, protocols, by_machine)]


def _checks(
    claim: Claim, protocols: set[str], by_machine: Mapping[tuple[str, str], Sequence[Measured]]
) -> Iterator[ClaimCheckRow]:
    stated = claim.measure()
    bare = _bare(claim, stated)
    found = by_machine.get((claim.machine, claim.quantity), ())
    if stated is None:
        # For translators: follows "not held against a measurement, as".
        yield replace(bare, why=say("its unit is not known"))
    elif claim.quantity not in protocols:
        # For translators: follows "not held against a measurement, as".
        yield replace(bare, why=say("this bench does not measure it"))
    elif not found:
        # For translators: follows "not held against a measurement, as".
        yield replace(bare, why=say("the machine was not measured as unboxed"))
    else:
        yield from (_check(bare, stated, row) for row in found)


def _bare(claim: Claim, stated: Measure | None) -> ClaimCheckRow:
    return ClaimCheckRow(
        claim=claim.claim,
        machine=claim.machine,
        maker=claim.maker,
        quantity=claim.quantity,
        stated_value=claim.value,
        stated_unit=claim.unit,
        source=claim.source,
        stated_on=claim.stated_on,
        is_newest=claim.is_newest,
        value=stated.value if stated else None,
        unit=stated.unit if stated else None,
        dimension=stated.dimension if stated else None,
        protocol=None,
        version=None,
        setup=None,
        measured=None,
        n=None,
        difference=None,
        difference_low=None,
        difference_high=None,
        verdict=None,
        decimals=None,
        why=None,
    )


def _check(bare: ClaimCheckRow, stated: Measure, row: Measured) -> ClaimCheckRow:
    """One claim against one set-up; a claim is taken as exact."""
    here = replace(bare, protocol=row.protocol, version=row.version, setup=row.setup)
    try:
        per_unit = normalised(1.0, row.unit)
    except UnknownUnitError:
        # For translators: follows "not held against a measurement, as".
        return replace(here, why=say("the unit of the measurement is not known"))
    if per_unit.dimension != stated.dimension:
        # For translators: follows "not held against a measurement, as".
        return replace(here, why=say("it is measured in a unit of another kind"))
    claimed = stated.value / per_unit.value

    def apart(value: float | None) -> float | None:
        return None if value is None else round(value - claimed, row.decimals) + 0.0

    low, high = apart(row.low), apart(row.high)
    return replace(
        here,
        measured=row.mean,
        n=row.n,
        difference=apart(row.mean),
        difference_low=low,
        difference_high=high,
        verdict=verdict(low, high, higher_is_better=row.higher_is_better),
        decimals=row.decimals,
        why=row.why if low is None else None,
    )


def verdict(low: float | None, high: float | None, *, higher_is_better: bool) -> str:
    """Whether a claim was kept, from the interval of measured minus stated."""
    if low is None or high is None:
        return CANNOT_TELL
    worst, best = (low, high) if higher_is_better else (-high, -low)
    if worst >= 0:
        return KEPT
    return NOT_KEPT if best < 0 else CANNOT_TELL
