"""Every analysis worked out and written back as its public table.

In:  the result tables of the store.
Out: tables ``setup_deltas``, ``machine_values``, ``maker_against_field``, ``associations``,
     ``association_groups``, ``claim_checks``, ``claim_associations``, ``air_powers``,
     ``value_front``, ``movement_spans`` and ``movements``.
"""

from __future__ import annotations

from collections.abc import Sequence

from trialpress.analyses.associations import associations
from trialpress.analyses.claim_associations import air_powers, claim_associations
from trialpress.analyses.claims import check_claims, read_claims, read_measured
from trialpress.analyses.machines import PACKAGE, read_machine_values
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
from trialpress.analyses.wording import put_words
from trialpress.store import Store
from trialpress.store.models import run_models


def write_analyses(store: Store, earlier: Sequence[Earlier]) -> None:
    """Work out and write every table."""
    run_models(store.connection, PACKAGE, "models")
    put_words(store)
    _write_groups(store)
    _write_claims(store)
    store.write_records("value_front", ValueRow, read_value_rows(store))
    spans, moved = movements(store.as_of, read_state(store), earlier)
    store.write_records("movement_spans", SpanRow, spans)
    store.write_records("movements", MovementRow, moved)


def _write_groups(store: Store) -> None:
    """Machines by maker and by what they are."""
    confidence, pairs = store.settings.confidence, read_pairs(store)
    makers: list[MakerFieldRow] = []
    factors: list[AssociationRow] = []
    groups: list[AssociationGroupRow] = []
    for machines in read_machine_values(store).values():
        makers += makers_against_field(machines, pairs, confidence)
        told, told_groups = associations(machines, confidence)
        factors += told
        groups += told_groups
    store.write_records("maker_against_field", MakerFieldRow, makers)
    store.write_records("associations", AssociationRow, factors)
    store.write_records("association_groups", AssociationGroupRow, groups)


def _write_claims(store: Store) -> None:
    """Claims against measurements, one by one and all together."""
    claims = read_claims(store)
    store.write_records("claim_checks", ClaimCheckRow, check_claims(claims, read_measured(store)))
    together = [
        row
        for machines in read_machine_values(store).values()
        for row in claim_associations(claims, machines, store.settings.confidence)
    ]
    store.write_records("claim_associations", ClaimAssociationRow, together)
    store.write_records("air_powers", AirPowerRow, air_powers(claims))
