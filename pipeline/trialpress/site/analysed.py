"""The rows of the analyses that have pages of their own.

In:  the store with the tables of analyses.
Out: ``Analysed``: the records, grouped as the pages show them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trialpress.analyses import records
from trialpress.analyses.reading import read_rows
from trialpress.site.facts import Series, grouped
from trialpress.store import Store


@dataclass(frozen=True)
class Analysed:
    """By series (the overall is ("overall", 0)), quantity claimed, two set-ups, or maker."""

    values: Mapping[Series, Sequence[records.ValueRow]]
    machine_values: Mapping[Series, Sequence[records.MachineValueRow]]
    associations: Mapping[Series, Sequence[records.AssociationRow]]
    groups: Mapping[tuple[Series, str], Sequence[records.AssociationGroupRow]]
    claims: Mapping[str, Sequence[records.ClaimCheckRow]]
    claim_associations: Mapping[str, Sequence[records.ClaimAssociationRow]]
    air_powers: Sequence[records.AirPowerRow]
    deltas: Mapping[tuple[str, str], Sequence[records.SetupDeltaRow]]
    fields: Mapping[str, Sequence[records.MakerFieldRow]]


def read_analysed(store: Store) -> Analysed:
    """Read every table once."""
    values = read_rows(store, records.ValueRow, "value_front")
    machines = read_rows(store, records.MachineValueRow, "machine_values")
    associations = read_rows(store, records.AssociationRow, "associations")
    groups = read_rows(store, records.AssociationGroupRow, "association_groups")
    claims = read_rows(store, records.ClaimCheckRow, "claim_checks")
    stated = read_rows(store, records.ClaimAssociationRow, "claim_associations")
    deltas = read_rows(store, records.SetupDeltaRow, "setup_deltas")
    fields = read_rows(store, records.MakerFieldRow, "maker_against_field")
    return Analysed(
        values=grouped(values, lambda row: (row.protocol, row.version)),
        machine_values=grouped(machines, lambda row: (row.protocol, row.version)),
        associations=grouped(associations, lambda row: (row.protocol, row.version)),
        groups=grouped(groups, lambda row: ((row.protocol, row.version), row.factor)),
        claims=grouped(sorted(claims, key=_claimed), lambda row: row.quantity),
        claim_associations=grouped(stated, lambda row: row.quantity),
        air_powers=read_rows(store, records.AirPowerRow, "air_powers"),
        deltas=grouped(deltas, lambda row: (row.setup, row.other)),
        fields=grouped(fields, lambda row: row.maker),
    )


def _claimed(row: records.ClaimCheckRow) -> tuple[str, str, float]:
    """Claims by quantity, and the largest figure in one unit first."""
    return row.quantity, row.unit or "", -(row.value or 0.0)
