"""Each maker's machines against those of all others.

In:  one value a machine and series, and the comparisons of set-ups.
Out: ``MakerFieldRow`` records. All makers of a series are looked at together (Holm). Makers are
     never ranked by their best machine: more machines mean more chances.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from trialpress.analyses.associations import corrected
from trialpress.analyses.machines import (
    PACKAGE,
    MachineValue,
    SeriesKey,
    contrast,
    published_p,
    relation_of,
    warning_on,
)
from trialpress.analyses.records import MakerFieldRow
from trialpress.store import Store, read_sql


@dataclass(frozen=True)
class Pairs:
    """A maker's set-ups against all others': how many pairs, and how they come out."""

    protocol: str
    version: int
    maker: str
    pairs: int
    better: int
    worse: int
    level: int
    cannot_tell: int


def read_pairs(store: Store) -> dict[tuple[SeriesKey, str], Pairs]:
    """All pairs by series and maker."""
    rows = store.records(Pairs, read_sql(PACKAGE, "queries/maker_pairs.sql"))
    return {((row.protocol, row.version), row.maker): row for row in rows}


def makers_against_field(
    machines: Sequence[MachineValue],
    pairs: Mapping[tuple[SeriesKey, str], Pairs],
    confidence: float,
) -> list[MakerFieldRow]:
    """Every maker of one series against all others."""
    rows = [
        _against_field(maker, machines, pairs, confidence)
        for maker in sorted({row.maker for row in machines})
    ]
    better = machines[0].higher_is_better
    return [
        replace(
            row,
            p=published_p(row.p),
            p_holm=published_p(p_holm),
            relation=relation_of(row, p_holm, confidence, higher_is_better=better),
        )
        for row, p_holm in zip(rows, corrected([row.p for row in rows]), strict=True)
    ]


def _against_field(
    maker: str,
    machines: Sequence[MachineValue],
    pairs: Mapping[tuple[SeriesKey, str], Pairs],
    confidence: float,
) -> MakerFieldRow:
    own = [row for row in machines if row.maker == maker]
    others = [row for row in machines if row.maker != maker]
    found = contrast(own, others, confidence)
    series, key = own[0], (own[0].protocol, own[0].version)
    told = pairs.get((key, maker), Pairs(*key, maker, 0, 0, 0, 0, 0))
    return MakerFieldRow(
        maker=maker,
        protocol=series.protocol,
        version=series.version,
        machines=len(own),
        others=len(others),
        pairs=told.pairs,
        pairs_better=told.better,
        pairs_worse=told.worse,
        pairs_level=told.level,
        pairs_cannot_tell=told.cannot_tell,
        median=_median(own),
        field_median=_median(others),
        shift=found.shift,
        shift_low=found.shift_low,
        shift_high=found.shift_high,
        delta=found.delta,
        delta_low=found.delta_low,
        delta_high=found.delta_high,
        p=found.p,
        p_holm=None,
        relation="cannot tell",
        warning=warning_on(own, "maker"),
        why=found.why,
        unit=series.unit,
        decimals=series.decimals,
    )


def _median(machines: Sequence[MachineValue]) -> float | None:
    if not machines:
        return None
    return round(float(np.median([row.value for row in machines])), machines[0].decimals)
