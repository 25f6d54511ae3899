"""What goes with good results: head, mop, kind, price band, price and year of release.

In:  one value a machine and series.
Out: ``AssociationRow`` and ``AssociationGroupRow`` records. Machines are compared with those of
     their own kind, and machines of one maker count as dependent; only kinds themselves are
     compared over all machines. P values are those of each look: ``working`` puts all looks of the
     site right together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from trialpress.analyses.codes import Beware, Together, Why, joined
from trialpress.analyses.effects import (
    FEWEST_PAIRS,
    Effect,
    differs_from_raw,
    grouped_effect,
    ordered_effect,
)
from trialpress.analyses.family import published_p
from trialpress.analyses.machines import (
    SMALL,
    MachineValue,
    compared_of,
    only_one,
    rounded,
    side_of,
    warning_on,
)
from trialpress.analyses.maker_jackknife import slope_within
from trialpress.analyses.ranks import Estimate, Floats, deviations, has_contrast
from trialpress.analyses.records import AssociationGroupRow, AssociationRow
from trialpress.analyses.sign_flips import FEWEST_MAKERS, Compared, sign_flip_p
from trialpress.results.rounding import half_even

ETA, RHO = "eta squared", "rho"
KIND = "kind"
Level = str | float | None


@dataclass(frozen=True)
class Factor:
    """Something a machine is; ``order`` gives the order of its groups."""

    name: str
    level: Callable[[MachineValue], Level]
    is_ordered: bool
    order: Callable[[MachineValue], float] | None = None

    def compared(self, machines: Sequence[MachineValue]) -> tuple[Compared, Compared | None]:
        """Machines within kinds, and over all kinds where that is another comparison."""
        within = compared_of(machines)
        over_all = within.in_one_stratum()
        if self.name == KIND or only_one([row.kind for row in machines]):
            return over_all, None
        return within, over_all


FACTORS = (
    Factor("head", lambda row: row.head, is_ordered=False),
    Factor("mop", lambda row: row.mop, is_ordered=False),
    Factor(KIND, lambda row: row.kind, is_ordered=False),
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
    groups = [
        group
        for factor in FACTORS
        if not factor.is_ordered
        for group in _groups(machines, factor, confidence)
    ]
    return rows, groups


def _association(
    machines: Sequence[MachineValue], factor: Factor, confidence: float
) -> AssociationRow:
    known = [row for row in machines if factor.level(row) is not None]
    groups = {} if factor.is_ordered else grouped(known, factor)
    small = sum(len(group) < SMALL for group in groups.values())
    of_one_maker = sum(bool(only_one([row.maker for row in group])) for group in groups.values())
    makers = len({row.maker for row in known})
    row = AssociationRow(
        protocol=machines[0].protocol,
        version=machines[0].version,
        factor=factor.name,
        machines=len(known),
        makers=makers,
        left_out=len(machines) - len(known),
        groups=None if factor.is_ordered else len(groups),
        groups_small=None if factor.is_ordered else small,
        groups_of_one_maker=None if factor.is_ordered else of_one_maker,
        effect_name=RHO if factor.is_ordered else ETA,
        effect=None,
        effect_low=None,
        effect_high=None,
        p=None,
        p_fdr=None,
        relation=Together.CANNOT_TELL,
        raw_effect=None,
        raw_p=None,
        differs_from_raw=False,
        warning=joined(_warnings(makers, small, of_one_maker)),
        why=_why_not_asked(known, factor),
    )
    return row if row.why else _with_effect(row, known, factor, confidence)


def _warnings(makers: int, small: int, of_one_maker: int) -> Iterator[Beware]:
    if 0 < makers < FEWEST_MAKERS:
        yield Beware.FEW_MAKERS
    if small:
        yield Beware.SMALL_GROUPS
    if of_one_maker:
        yield Beware.GROUPS_OF_ONE_MAKER


def _why_not_asked(known: Sequence[MachineValue], factor: Factor) -> Why | None:
    if len(known) < FEWEST_PAIRS:
        return Why.TOO_FEW_MACHINES
    if len({factor.level(row) for row in known}) == 1:
        return Why.ALL_ALIKE if factor.is_ordered else Why.ONE_GROUP
    return Why.ALL_ALIKE if len({row.value for row in known}) == 1 else None


def _with_effect(
    row: AssociationRow, known: Sequence[MachineValue], factor: Factor, confidence: float
) -> AssociationRow:
    within, over_all = factor.compared(known)
    found = _effect(known, factor, within, confidence)
    raw = _effect(known, factor, over_all, confidence) if over_all else None
    if isinstance(raw, Effect):
        row = replace(row, raw_effect=raw.size.value, raw_p=published_p(raw.p))
    row = replace(row, differs_from_raw=differs_from_raw(found, raw, confidence))
    if not isinstance(found, Effect):
        return replace(row, why=found)
    return replace(
        row,
        effect=found.size.value,
        effect_low=found.size.low,
        effect_high=found.size.high,
        p=found.p,
        relation=found.relation if factor.is_ordered else Together.GOES_WITH,
        why=found.why if factor.is_ordered else Why.SHARE_WITHOUT_INTERVAL,
    )


def _effect(
    known: Sequence[MachineValue], factor: Factor, compared: Compared, confidence: float
) -> Effect | Why:
    if factor.is_ordered:
        levels = np.array([factor.level(row) for row in known], dtype=np.float64)
        return ordered_effect(levels, compared, confidence)
    return grouped_effect([str(factor.level(row)) for row in known], compared)


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
) -> Iterator[AssociationGroupRow]:
    known = [row for row in machines if factor.level(row) is not None]
    if not known:
        return
    within, over_all = factor.compared(known)
    for level, own in grouped(known, factor).items():
        member = np.array([str(factor.level(row)) == level for row in known], dtype=np.float64)
        bare = _bare_group(level, own, factor)
        row = _with_shift(bare, member, within, confidence)
        row = replace(row, relation=_side(row, machines[0]))
        yield _beside_raw(row, member, over_all, confidence) if over_all else row


def _side(row: AssociationGroupRow, series: MachineValue) -> str:
    return side_of(row.shift_low, row.shift_high, higher_is_better=series.higher_is_better)


def _bare_group(level: str, own: Sequence[MachineValue], factor: Factor) -> AssociationGroupRow:
    values = [row.value for row in own]
    return AssociationGroupRow(
        protocol=own[0].protocol,
        version=own[0].version,
        factor=factor.name,
        level=level,
        machines=len(own),
        others=0,
        median=half_even(float(np.median(values)), own[0].decimals),
        lowest=min(values),
        highest=max(values),
        shift=None,
        shift_low=None,
        shift_high=None,
        p=None,
        p_fdr=None,
        relation=Together.CANNOT_TELL,
        raw_shift=None,
        raw_p=None,
        differs_from_raw=False,
        only_maker=only_one([row.maker for row in own]),
        only_kind=only_one([row.kind for row in own]),
        warning=warning_on(own, factor.name),
        why=Why.NO_OTHER_OF_ITS_KINDS,
        unit=own[0].unit,
        decimals=own[0].decimals,
    )


def _with_shift(
    row: AssociationGroupRow, member: Floats, compared: Compared, confidence: float
) -> AssociationGroupRow:
    column = deviations(member, compared.strata)[:, None]
    of_its_kinds = np.isin(compared.strata, compared.strata[member == 1])
    row = replace(row, others=int(np.sum(of_its_kinds & (member == 0))))
    if not has_contrast(column).all():
        return row
    exact = slope_within(member, compared.values, compared, confidence)
    shift = rounded(exact, row.decimals)
    return replace(
        row,
        shift=shift.value,
        shift_low=shift.low,
        shift_high=shift.high,
        p=sign_flip_p(column, compared),
        why=Why.ONE_MAKER_DECIDES if shift.low is None else None,
    )


def _beside_raw(
    row: AssociationGroupRow, member: Floats, over_all: Compared, confidence: float
) -> AssociationGroupRow:
    raw = _with_shift(row, member, over_all, confidence)
    if raw.shift is None or raw.p is None:
        return row
    return replace(
        row,
        raw_shift=raw.shift,
        raw_p=published_p(raw.p),
        differs_from_raw=differs_from_raw(_effect_of(row), _effect_of(raw), confidence),
    )


def _effect_of(row: AssociationGroupRow) -> Effect | None:
    if row.shift is None or row.p is None:
        return None
    return Effect(Estimate(row.shift, row.shift_low, row.shift_high), row.p)
