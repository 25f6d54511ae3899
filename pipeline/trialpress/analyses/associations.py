"""What goes with good results: head, mop, kind, price band, price and year of release.

In:  one value a machine and series.
Out: ``AssociationRow`` and ``AssociationGroupRow`` records. All factors of one series are looked at
     together, and so are the groups of one factor: their p values are Holm's.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from trialpress.analyses.machines import (
    SHARE_DECIMALS,
    MachineValue,
    contrast,
    published_p,
    relation_of,
    rounded,
    warning_on,
    warning_on_groups,
)
from trialpress.analyses.ranks import FEWEST_PAIRS, Estimate, holm, kruskal_wallis, spearman
from trialpress.analyses.records import AssociationGroupRow, AssociationRow
from trialpress.words import say

KRUSKAL_WALLIS, SPEARMAN = "Kruskal-Wallis", "Spearman"
ETA, RHO = "eta squared", "rho"


@dataclass(frozen=True)
class Factor:
    """Something a machine is; ``order`` gives the order of its groups."""

    name: str
    level: Callable[[MachineValue], str | float | None]
    is_ordered: bool
    order: Callable[[MachineValue], float] | None = None


FACTORS = (
    Factor("head", lambda row: row.head, is_ordered=False),
    Factor("mop", lambda row: row.mop, is_ordered=False),
    Factor("kind", lambda row: row.kind, is_ordered=False),
    Factor(
        "price-band",
        lambda row: row.price_band,
        is_ordered=False,
        order=lambda row: row.price_band_from or 0.0,
    ),
    Factor("price", lambda row: row.price, is_ordered=True),
    Factor("released-year", lambda row: row.released_year, is_ordered=True),
)


def associations(
    machines: Sequence[MachineValue], confidence: float
) -> tuple[list[AssociationRow], list[AssociationGroupRow]]:
    """Look at every factor of one series."""
    rows = [_association(machines, factor, confidence) for factor in FACTORS]
    p_values = corrected([row.p for row in rows])
    told = [
        replace(
            row,
            p=published_p(row.p),
            p_holm=published_p(p_holm),
            relation=goes_with(p_holm, confidence),
        )
        for row, p_holm in zip(rows, p_values, strict=True)
    ]
    groups = [
        group
        for factor in FACTORS
        if not factor.is_ordered
        for group in _groups(machines, factor, confidence)
    ]
    return told, groups


def _association(
    machines: Sequence[MachineValue], factor: Factor, confidence: float
) -> AssociationRow:
    known = [row for row in machines if factor.level(row) is not None]
    empty = AssociationRow(
        protocol=machines[0].protocol,
        version=machines[0].version,
        factor=factor.name,
        test=SPEARMAN if factor.is_ordered else KRUSKAL_WALLIS,
        machines=len(known),
        left_out=len(machines) - len(known),
        groups=None,
        effect_name=RHO if factor.is_ordered else ETA,
        effect=None,
        effect_low=None,
        effect_high=None,
        p=None,
        p_holm=None,
        relation="cannot tell",
        warning=None,
        why=None,
    )
    return (
        _ordered(empty, known, factor, confidence)
        if factor.is_ordered
        else _grouped(empty, known, factor, confidence)
    )


def _ordered(
    empty: AssociationRow, known: Sequence[MachineValue], factor: Factor, confidence: float
) -> AssociationRow:
    levels = np.array([factor.level(row) for row in known], dtype=np.float64)
    if len(known) < FEWEST_PAIRS:
        # For translators: "one" is what the machines are looked at by, such as a price.
        return replace(empty, why=say("fewer than {least} machines have one", least=FEWEST_PAIRS))
    found = spearman(levels, np.array([row.value for row in known]), confidence)
    if found is None:
        return replace(empty, why=say("all machines are alike in it or in their results"))
    warning = None
    if len({row.kind for row in known}) > 1:
        warning = say("the machines are of several kinds, which may differ in both")
    return replace(_with_effect(empty, found.rho, found.p), warning=warning)


def _grouped(
    empty: AssociationRow, known: Sequence[MachineValue], factor: Factor, confidence: float
) -> AssociationRow:
    groups = grouped(known, factor)
    row = replace(
        empty, groups=len(groups), warning=warning_on_groups(list(groups.values()), factor.name)
    )
    if len(groups) <= 1:
        return replace(row, why=say("there are not two groups to compare"))
    if len(known) < FEWEST_PAIRS:
        too_few = say("fewer than {least} machines say which they are", least=FEWEST_PAIRS)
        return replace(row, why=too_few)
    values = [np.array([one.value for one in group]) for group in groups.values()]
    found = kruskal_wallis(values, confidence)
    if found is None:
        alike = say("all machines are alike in their results, or each is a group of its own")
        return replace(row, why=alike)
    return _with_effect(row, found.share, found.p)


def _with_effect(row: AssociationRow, effect: Estimate, p: float) -> AssociationRow:
    told = rounded(effect, SHARE_DECIMALS)
    why = say("all in one order: no interval") if told.low is None else None
    return replace(
        row,
        effect=told.value,
        effect_low=told.low,
        effect_high=told.high,
        p=p,
        why=why,
    )


def grouped(known: Sequence[MachineValue], factor: Factor) -> Mapping[str, Sequence[MachineValue]]:
    """Machines by their group, groups in the factor's own order or by name."""
    groups: dict[str, list[MachineValue]] = {}
    for row in known:
        groups.setdefault(str(factor.level(row)), []).append(row)
    first = factor.order
    keys = sorted(groups, key=lambda level: (first(groups[level][0]) if first else 0.0, level))
    return {level: groups[level] for level in keys}


def _groups(
    machines: Sequence[MachineValue], factor: Factor, confidence: float
) -> list[AssociationGroupRow]:
    known = [row for row in machines if factor.level(row) is not None]
    groups = grouped(known, factor)
    rows = [_group(level, known, groups, factor, confidence) for level in groups]
    return [
        replace(
            row,
            p=published_p(row.p),
            p_holm=published_p(p_holm),
            relation=_relation(row, machines[0], p_holm, confidence),
        )
        for row, p_holm in zip(rows, corrected([row.p for row in rows]), strict=True)
    ]


def _relation(
    row: AssociationGroupRow, series: MachineValue, p_holm: float | None, confidence: float
) -> str:
    return relation_of(row, p_holm, confidence, higher_is_better=series.higher_is_better)


def _group(
    level: str,
    known: Sequence[MachineValue],
    groups: Mapping[str, Sequence[MachineValue]],
    factor: Factor,
    confidence: float,
) -> AssociationGroupRow:
    own = groups[level]
    others = [row for row in known if str(factor.level(row)) != level]
    found = contrast(own, others, confidence)
    values = [row.value for row in own]
    return AssociationGroupRow(
        protocol=own[0].protocol,
        version=own[0].version,
        factor=factor.name,
        level=level,
        machines=len(own),
        others=len(others),
        median=round(float(np.median(values)), own[0].decimals),
        lowest=min(values),
        highest=max(values),
        shift=found.shift,
        shift_low=found.shift_low,
        shift_high=found.shift_high,
        delta=found.delta,
        delta_low=found.delta_low,
        delta_high=found.delta_high,
        p=found.p,
        p_holm=None,
        relation="cannot tell",
        warning=warning_on(own, factor.name),
        why=found.why,
        unit=own[0].unit,
        decimals=own[0].decimals,
    )


def corrected(p_values: Sequence[float | None]) -> list[float | None]:
    """Holm's p values of those that there are, from unrounded ones and not rounded yet."""
    known = [p for p in p_values if p is not None]
    by_holm = iter(holm(known))
    return [None if p is None else next(by_holm) for p in p_values]


def goes_with(p_holm: float | None, confidence: float) -> str:
    """``goes with`` only where the corrected test says so."""
    is_told = p_holm is not None and p_holm < 1 - confidence
    return "goes with" if is_told else "cannot tell"
