"""The rows of the analyses, read where they are first asked for.

In:  the store with the tables of analyses.
Out: ``Analysed``: the records, grouped as pages show them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any, TypeVar, cast

from trialpress.analyses import records
from trialpress.store import Store, grouped, read_sql
from trialpress.view.names import SeriesKey

Row = TypeVar("Row")


@dataclass(frozen=True)
class FactorValue:
    """One machine of one series in one group of one factor."""

    protocol: str
    version: int
    title: str
    better: str
    factor: str
    level: str
    machine: str
    machine_name: str
    maker_name: str
    value: float
    unit: str
    decimals: int
    machines: int
    effect_name: str
    effect: float | None
    effect_low: float | None
    effect_high: float | None


@dataclass(frozen=True)
class ClaimedValue:
    """A machine with a stated figure and a value in one series."""

    quantity: str
    stated_in: str
    protocol: str
    version: int
    title: str
    better: str
    machine: str
    machine_name: str
    maker_name: str
    stated: float
    measured: float
    machines: int
    rho: float
    rho_low: float | None
    rho_high: float | None
    unit: str
    decimals: int


@dataclass(frozen=True)
class Analysed:
    """By series (the overall is ("overall", 0)), quantity claimed, two set-ups, or maker."""

    store: Store

    @cached_property
    def values(self) -> Mapping[SeriesKey, Sequence[records.ValueRow]]:
        """Prices and results of each series."""
        return grouped(self._read(records.ValueRow, "value_front"), _series)

    @cached_property
    def machine_values(self) -> Mapping[SeriesKey, Sequence[records.MachineValueRow]]:
        """Machines of each series."""
        return grouped(self._read(records.MachineValueRow, "machine_values"), _series)

    @cached_property
    def associations(self) -> Mapping[SeriesKey, Sequence[records.AssociationRow]]:
        """What goes with the results of each series."""
        return grouped(self._read(records.AssociationRow, "associations"), _series)

    @cached_property
    def groups(self) -> Mapping[tuple[SeriesKey, str], Sequence[records.AssociationGroupRow]]:
        """Groups of machines of each series and factor."""
        rows = self._read(records.AssociationGroupRow, "association_groups")
        return grouped(rows, lambda row: (_series(row), row.factor))

    @cached_property
    def claims(self) -> Mapping[str, Sequence[records.ClaimCheckRow]]:
        """Claims of each quantity; the largest figure in one unit first."""
        rows = self._read(records.ClaimCheckRow, "claim_checks")
        rows.sort(key=lambda row: (row.quantity, row.unit or "", -(row.value or 0.0)))
        return grouped(rows, lambda row: row.quantity)

    @cached_property
    def claim_associations(self) -> Mapping[str, Sequence[records.ClaimAssociationRow]]:
        """Whether what is stated of a quantity goes with results."""
        rows = self._read(records.ClaimAssociationRow, "claim_associations")
        return grouped(rows, lambda row: row.quantity)

    @cached_property
    def air_powers(self) -> Sequence[records.AirPowerRow]:
        """Stated pressures and flows."""
        return self._read(records.AirPowerRow, "air_powers")

    @cached_property
    def deltas(self) -> Mapping[tuple[str, str], Sequence[records.SetupDeltaRow]]:
        """Two set-ups of one machine, in every series."""
        rows = self._read(records.SetupDeltaRow, "setup_deltas")
        return grouped(rows, lambda row: (row.setup, row.other))

    @cached_property
    def fields(self) -> Mapping[str, Sequence[records.MakerFieldRow]]:
        """Each maker against all others."""
        rows = self._read(records.MakerFieldRow, "maker_against_field")
        return grouped(rows, lambda row: row.maker)

    @cached_property
    def spans(self) -> Sequence[records.SpanRow]:
        """Dates that the build is compared with."""
        return self._read(records.SpanRow, "movement_spans")

    @cached_property
    def movements(self) -> Sequence[records.MovementRow]:
        """Where each set-up stood and stands."""
        return self._read(records.MovementRow, "movements")

    @cached_property
    def machine_factors(self) -> Mapping[SeriesKey, Sequence[FactorValue]]:
        """Machines of each current series under each thing that they are."""
        rows = self.store.records(FactorValue, _query("machine_factors"))
        return grouped(rows, lambda row: (row.protocol, row.version))

    @cached_property
    def claimed_values(self) -> Mapping[tuple[str, str], Sequence[ClaimedValue]]:
        """What is stated beside what was measured, of each quantity and unit."""
        rows = self.store.records(ClaimedValue, _query("claimed_and_measured"))
        return grouped(rows, lambda row: (row.quantity, row.stated_in))

    def _read(self, kind: type[Row], table: str) -> list[Row]:
        """The whole of one table, in its order; ``kind`` is its record in ``records``."""
        columns = ", ".join(field.name for field in fields(cast("Any", kind)))
        return self.store.records(kind, f"select {columns} from {table}")  # noqa: S608 -- our own names


def _query(name: str) -> str:
    return read_sql("trialpress.view", f"queries/{name}.sql")


def _series(
    row: records.ValueRow
    | records.MachineValueRow
    | records.AssociationRow
    | records.AssociationGroupRow,
) -> SeriesKey:
    return row.protocol, row.version
