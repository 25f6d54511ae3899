"""Each maker's machines against those of all others of the same kinds.

In:  one value a machine and series, and the comparisons of set-ups.
Out: ``MakerFieldRow`` records. All makers of a series are looked at together (Holm). Makers are
     never ranked by their best machine: more machines mean more chances.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from trialpress.analyses.codes import Why
from trialpress.analyses.family import holm, told_together
from trialpress.analyses.machines import (
    PACKAGE,
    MachineValue,
    SeriesKey,
    compared_of,
    only_one,
    rounded,
    side_of,
    warning_on,
)
from trialpress.analyses.records import MakerFieldRow
from trialpress.analyses.two_groups import Group, MachineField, against_others, shift_over_all
from trialpress.results.rounding import half_even
from trialpress.results.separation import Relation
from trialpress.store import Store, read_sql


@dataclass(frozen=True)
class MakerPairs:
    """A maker's set-ups against all others': how many pairs, and how they come out."""

    protocol: str
    version: int
    maker: str
    pairs: int
    better: int
    worse: int
    level: int
    cannot_tell: int


def read_pairs(store: Store) -> dict[tuple[SeriesKey, str], MakerPairs]:
    """All pairs by series and maker."""
    rows = store.records(MakerPairs, read_sql(PACKAGE, "queries/maker_pairs.sql"))
    return {((row.protocol, row.version), row.maker): row for row in rows}


def makers_against_field(
    machines: Sequence[MachineValue],
    pairs: Mapping[tuple[SeriesKey, str], MakerPairs],
    confidence: float,
) -> list[MakerFieldRow]:
    """Every maker of one series against all others."""
    compared = compared_of(machines)
    field = MachineField(compared.values, compared.strata)
    rows = []
    for number, maker in enumerate(sorted({row.maker for row in machines})):
        own = compared.makers == number
        bare = _bare(machines, own, pairs.get((_key(machines[0]), maker)))
        rows.append(_with_shift(bare, own, field, confidence))
    better = machines[0].higher_is_better
    sided = [
        replace(row, relation=side_of(row.shift_low, row.shift_high, higher_is_better=better))
        for row in rows
    ]
    return told_together(sided, confidence, holm, "p_holm")


def _key(row: MachineValue) -> SeriesKey:
    return row.protocol, row.version


def _bare(machines: Sequence[MachineValue], own: Group, pairs: MakerPairs | None) -> MakerFieldRow:
    """What is told of a maker without any comparison of machines."""
    its = [row for row, is_own in zip(machines, own, strict=True) if is_own]
    kinds = {row.kind for row in its}
    others = [
        row for row, is_own in zip(machines, own, strict=True) if row.kind in kinds and not is_own
    ]
    series = its[0]
    return MakerFieldRow(
        maker=series.maker,
        protocol=series.protocol,
        version=series.version,
        machines=len(its),
        others=len(others),
        pairs=pairs.pairs if pairs else 0,
        pairs_better=pairs.better if pairs else 0,
        pairs_worse=pairs.worse if pairs else 0,
        pairs_level=pairs.level if pairs else 0,
        pairs_cannot_tell=pairs.cannot_tell if pairs else 0,
        median=_median(its),
        field_median=_median(others),
        shift=None,
        shift_low=None,
        shift_high=None,
        p=None,
        p_holm=None,
        relation=Relation.CANNOT_TELL,
        raw_shift=None,
        differs_from_raw=False,
        only_kind=only_one([row.kind for row in its]),
        warning=warning_on(its, "maker"),
        why=Why.NO_OTHER_OF_ITS_KINDS,
        unit=series.unit,
        decimals=series.decimals,
    )


def _with_shift(
    row: MakerFieldRow, own: Group, field: MachineField, confidence: float
) -> MakerFieldRow:
    if not row.others:
        return row
    found = against_others(own, field, confidence)
    shift = rounded(found.shift, row.decimals)
    raw = half_even(shift_over_all(own, field), row.decimals)
    return replace(
        row,
        shift=shift.value,
        shift_low=shift.low,
        shift_high=shift.high,
        p=found.p,
        raw_shift=raw,
        differs_from_raw=shift.value * raw < 0,
        why=Why.TOO_FEW_FOR_INTERVAL if shift.low is None else None,
    )


def _median(machines: Sequence[MachineValue]) -> float | None:
    if not machines:
        return None
    return half_even(float(np.median([row.value for row in machines])), machines[0].decimals)
