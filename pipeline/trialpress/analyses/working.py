"""Every analysis worked out and written back as its public table.

In:  the result tables of the store.
Out: tables ``setup_deltas``, ``machine_values``, ``maker_against_field``, ``associations``,
     ``association_groups``, ``claim_checks``, ``claim_associations``, ``air_powers``,
     ``value_front``, ``movement_spans`` and ``movements``.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import astuple
from itertools import chain
from typing import Any

from trialpress.analyses.associations import associations
from trialpress.analyses.claim_associations import air_powers, claim_associations
from trialpress.analyses.claim_checks import check_claims
from trialpress.analyses.claims import StatedClaim, read_claims, read_measured
from trialpress.analyses.family import benjamini_hochberg, told_below, told_together
from trialpress.analyses.machines import PACKAGE, MachineValue, read_machine_values
from trialpress.analyses.makers import makers_against_field, read_pairs
from trialpress.analyses.movements import Earlier, movements, read_state
from trialpress.analyses.records import (
    AirPowerRow,
    AssociationGroupRow,
    AssociationRow,
    ClaimAssociationRow,
    ClaimCheckRow,
    MakerFieldRow,
    MovementRow,
    SpanRow,
    ValueRow,
)
from trialpress.analyses.value import read_value_rows
from trialpress.cache import kept
from trialpress.store import Store
from trialpress.store.models import run_models

Looks = tuple[list[AssociationRow], list[AssociationGroupRow], list[ClaimAssociationRow]]


def write_analyses(store: Store, earlier: Sequence[Earlier]) -> None:
    """Work out and write every table."""
    run_models(store.connection, PACKAGE, "models")
    claims, confidence = read_claims(store), store.settings.confidence
    series = list(read_machine_values(store).values())
    _write_makers(store, series)
    factors, groups, stated = looks_at(series, claims, confidence)
    store.write_records("associations", AssociationRow, factors)
    store.write_records("association_groups", AssociationGroupRow, groups)
    store.write_records("claim_associations", ClaimAssociationRow, stated)
    checks = check_claims(claims, read_measured(store), confidence)
    store.write_records("claim_checks", ClaimCheckRow, checks)
    store.write_records("air_powers", AirPowerRow, air_powers(claims))
    store.write_records("value_front", ValueRow, read_value_rows(store))
    spans, moved = movements(store.as_of, read_state(store), earlier)
    store.write_records("movement_spans", SpanRow, spans)
    store.write_records("movements", MovementRow, moved)


def _write_makers(store: Store, series: Sequence[Sequence[MachineValue]]) -> None:
    pairs = read_pairs(store)
    rows = (makers_against_field(standing, pairs, store.settings.confidence) for standing in series)
    store.write_records("maker_against_field", MakerFieldRow, list(chain.from_iterable(rows)))


def looks_at(
    series: Sequence[Sequence[MachineValue]], claims: Sequence[StatedClaim], confidence: float
) -> Looks:
    """Everything that may go with results: every factor and stated figure on every series.

    Notes
    -----
    They are one family, as a reader picks from all pages of the site: of what is told to go with
    results a share of at most 1 - confidence is expected to be wrong (Benjamini and Hochberg).
    Groups are parts of their factor.
    """
    found = [_look_at(machines, claims, confidence) for machines in series]
    factors = [row for rows, _, _ in found for row in rows]
    stated = [row for _, _, rows in found for row in rows]
    questions: list[AssociationRow | ClaimAssociationRow] = [*factors, *stated]
    tested = told_together(questions, confidence, benjamini_hochberg, "p_fdr")
    told_factors = [row for row in tested if isinstance(row, AssociationRow)]
    every = [group for _, groups, _ in found for group in groups]
    groups = [
        group
        for factor in told_factors
        for group in told_below(factor, _groups_of(factor, every), tested, confidence)
    ]
    return told_factors, groups, [row for row in tested if isinstance(row, ClaimAssociationRow)]


def _look_at(
    machines: Sequence[MachineValue], claims: Sequence[StatedClaim], confidence: float
) -> Looks:
    """Every question about one series; kept, as most series are as they were before a new row."""

    def worked_out() -> bytes:
        rows, groups = associations(machines, confidence)
        stated = claim_associations(claims, machines, confidence)
        tables: tuple[Sequence[Any], ...] = (rows, groups, stated)
        return json.dumps([[astuple(row) for row in table] for table in tables]).encode()

    content = repr((machines, claims, confidence)).encode()
    rows, groups, stated = json.loads(kept("looks", [content], worked_out))
    return (
        [AssociationRow(*cells) for cells in rows],
        [AssociationGroupRow(*cells) for cells in groups],
        [ClaimAssociationRow(*cells) for cells in stated],
    )


def _groups_of(
    factor: AssociationRow, groups: Sequence[AssociationGroupRow]
) -> list[AssociationGroupRow]:
    key = factor.protocol, factor.version, factor.factor
    return [row for row in groups if (row.protocol, row.version, row.factor) == key]
