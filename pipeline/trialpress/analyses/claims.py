"""Claims of spec sheets as stated, and what set-ups measure.

In:  the store with its result tables.
Out: claims, brought to one unit, and the means of the series they are made of, unrounded.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from trialpress.analyses.machines import PACKAGE
from trialpress.store import Store, read_sql
from trialpress.units import Measure, UnknownUnitError, normalised

STATED_DIGITS = 6


@dataclass(frozen=True)
class StatedClaim:
    """A claim as stated; without a ``setup`` it speaks of the machine as unboxed.

    ``is_newest`` of the same set-up, ``is_of_machine`` where it stands for the machine.
    """

    claim: str
    machine: str
    setup: str | None
    maker: str
    quantity: str
    value: float
    unit: str
    tolerance_pct: float
    source: str
    stated_on: date
    is_newest: bool
    is_of_machine: bool

    def measure(self) -> Measure | None:
        """The figure in the unit of its dimension; None where its unit is not known."""
        try:
            measured = normalised(self.value, self.unit)
        except UnknownUnitError:
            return None
        return replace(measured, value=significant(measured.value))


@dataclass(frozen=True)
class Measured:
    """A set-up's mean in a current series, unrounded; None is what cannot be estimated."""

    protocol: str
    version: int
    setup: str
    machine: str
    is_as_unboxed: bool
    is_only_one_as_unboxed: bool
    mean: float
    low: float | None
    high: float | None
    interval_se: float | None
    df: float | None
    n: int
    unit: str
    higher_is_better: bool
    decimals: int
    why: str | None


def significant(value: float) -> float:
    """A converted figure without the noise of the conversion."""
    return float(f"{value:.{STATED_DIGITS}g}")


def read_claims(store: Store) -> list[StatedClaim]:
    """All claims, by machine, quantity and date."""
    return store.records(StatedClaim, read_sql(PACKAGE, "queries/claims.sql"))


def read_measured(store: Store) -> list[Measured]:
    """What set-ups measure in the current series that claims are made of."""
    return store.records(Measured, read_sql(PACKAGE, "queries/measured.sql"))
