"""Claims of spec sheets as stated, and what set-ups measure.

In:  the store with its result tables.
Out: claims, brought to one unit, and the means of the series they are made of, unrounded.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from trialpress.analyses.machines import PACKAGE
from trialpress.results.working import ranking_of
from trialpress.store import Store, read_sql
from trialpress.units import Measure, UnknownUnitError, normalised

STATED_DIGITS = 6


@dataclass(frozen=True)
class Claim:
    """A claim as stated; without a ``setup`` it speaks of the machine as unboxed."""

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

    def measure(self) -> Measure | None:
        """The figure in the unit of its dimension; None where its unit is not known."""
        try:
            told = normalised(self.value, self.unit)
        except UnknownUnitError:
            return None
        return replace(told, value=significant(told.value))


@dataclass(frozen=True)
class MeasuredCell:
    """A set-up with runs in a current series."""

    protocol: str
    version: int
    setup: str
    machine: str
    is_as_unboxed: bool
    is_only_one_as_unboxed: bool
    n: int
    unit: str
    higher_is_better: bool
    decimals: int
    why: str | None


@dataclass(frozen=True)
class Measured:
    """The same with its mean, unrounded, in the series' unit; NaN is what cannot be estimated."""

    cell: MeasuredCell
    mean: float
    low: float
    high: float
    standard_error: float
    df: float


def significant(value: float) -> float:
    """A converted figure without the noise of the conversion."""
    return float(f"{value:.{STATED_DIGITS}g}")


def read_claims(store: Store) -> list[Claim]:
    """All claims, by machine, quantity and date."""
    return store.records(Claim, read_sql(PACKAGE, "queries/claims.sql"))


def read_measured(store: Store) -> list[Measured]:
    """What set-ups measure in the current series that claims are made of."""
    cells = store.records(MeasuredCell, read_sql(PACKAGE, "queries/measured.sql"))
    found: dict[tuple[str, int, str], Measured] = {}
    for key in sorted({(cell.protocol, cell.version) for cell in cells}):
        ranking = ranking_of(store, *key)
        means = ranking.means
        columns = (means.mean, means.low, means.high, means.interval_se, means.df)
        by_setup = zip(*(column.tolist() for column in columns), strict=True)
        here = {cell.setup: cell for cell in cells if (cell.protocol, cell.version) == key}
        for of, figures in zip(ranking.cells, by_setup, strict=True):
            found[*key, of.setup] = Measured(here[of.setup], *figures)
    return [found[cell.protocol, cell.version, cell.setup] for cell in cells]
