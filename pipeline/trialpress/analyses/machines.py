"""Machines with their one value a series, and how groups of them compare.

In:  ``machine_values`` of the store.
Out: records, and comparisons of groups rounded to published digits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Protocol

import numpy as np

from trialpress.analyses.ranks import Estimate, TwoGroups, compare_groups
from trialpress.store import Store, read_sql
from trialpress.words import message, say

PACKAGE = "trialpress.analyses"
SMALL = 5
"""Groups of fewer machines carry a warning."""
SHARE_DECIMALS = 2
P_DECIMALS = 4
KINDS = {
    "robot": message("robot"),
    # For translators: a kind of machine: a slim one with a battery, held by its handle.
    "stick": message("stick"),
    "canister": message("canister"),
    # For translators: a kind of machine: one whose motor stands over its head.
    "upright": message("upright"),
    "handheld": message("handheld"),
    "wet-dry": message("wet-dry"),
}
"""What the kinds of machines that are known are called; others are words of the bench's own."""


def kind_name(kind: str) -> str:
    """What a kind of machines is called: as the bench typed it where it is the bench's own."""
    return say(KINDS[kind]) if kind in KINDS else kind.replace("-", " ")


def group_name(factor: str, level: str) -> str:
    """What a group of machines is called: by its kind, or as the bench or the analysis has it."""
    return kind_name(level) if factor == "kind" else level


SeriesKey = tuple[str, int]


@dataclass(frozen=True)
class MachineValue:
    """One machine in one series: the median over its set-ups as unboxed."""

    protocol: str
    version: int
    machine: str
    maker: str
    maker_name: str
    value: float
    kind: str
    head: str | None
    mop: str | None
    price: float | None
    price_band: str | None
    price_band_from: float | None
    released_year: int | None
    higher_is_better: bool
    unit: str
    decimals: int


@dataclass(frozen=True)
class Contrast:
    """One group of machines against another, rounded; None where there is no such figure."""

    shift: float | None
    shift_low: float | None
    shift_high: float | None
    delta: float | None
    delta_low: float | None
    delta_high: float | None
    p: float | None
    why: str | None


def read_machine_values(store: Store) -> dict[SeriesKey, list[MachineValue]]:
    """Every machine with a value, by series."""
    rows = store.records(MachineValue, read_sql(PACKAGE, "queries/machine_values.sql"))
    grouped = groupby(rows, key=lambda row: (row.protocol, row.version))
    return {key: list(group) for key, group in grouped}


def contrast(
    first: Sequence[MachineValue], second: Sequence[MachineValue], confidence: float
) -> Contrast:
    """Compare two groups of machines of one series; ``first`` minus ``second``."""
    if not first or not second:
        return Contrast(None, None, None, None, None, None, None, _nobody(is_own=not first))
    own, others = (np.array([row.value for row in group]) for group in (first, second))
    return _rounded(compare_groups(own, others, confidence), first[0].decimals)


def _nobody(*, is_own: bool) -> str:
    if is_own:
        # For translators: follows "cannot be told from the others, as".
        return say("it has no machine as unboxed here")
    # For translators: follows "cannot be told from the others, as".
    return say("there is no other machine")


def _rounded(groups: TwoGroups, decimals: int) -> Contrast:
    shift, delta = (
        rounded(estimate, digits)
        for estimate, digits in ((groups.shift, decimals), (groups.delta, SHARE_DECIMALS))
    )
    # For translators: follows "cannot be told from the others, as".
    too_few = say("there are too few machines for an interval")
    return Contrast(
        shift.value, shift.low, shift.high, delta.value, delta.low, delta.high,
        groups.p, too_few if shift.low is None else None,
    )  # fmt: skip


def rounded(estimate: Estimate, decimals: int) -> Estimate:
    """The same to published digits, without a minus zero."""
    low, high = (
        None if end is None else round(end, decimals) + 0.0 for end in (estimate.low, estimate.high)
    )
    return Estimate(round(estimate.value, decimals) + 0.0, low, high)


def published_p(p: float | None) -> float | None:
    """A p value as it is published; whatever is decided by it is decided before."""
    return None if p is None else round(p, P_DECIMALS)


class Shifted(Protocol):
    """Whatever has the interval of a shift."""

    @property
    def shift_low(self) -> float | None:
        """Lower end."""

    @property
    def shift_high(self) -> float | None:
        """Upper end."""


def relation_of(
    found: Shifted, p_holm: float | None, confidence: float, *, higher_is_better: bool
) -> str:
    """``better`` or ``worse`` only where both the interval and the corrected test say so."""
    if p_holm is None or found.shift_low is None or found.shift_high is None:
        return "cannot tell"
    if p_holm >= 1 - confidence or found.shift_low <= 0 <= found.shift_high:
        return "cannot tell"
    return "better" if (found.shift_low > 0) == higher_is_better else "worse"


def warning_on(machines: Sequence[MachineValue], factor: str) -> str | None:
    """What to beware of in one group: that it is small, or of one maker or one kind."""
    said = [say("fewer than {least} machines", least=SMALL)] if len(machines) < SMALL else []
    makers, kinds = _makers(machines), _kinds(machines)
    if factor != "maker" and len(makers) == 1:
        said.append(say("all of one maker, {maker}", maker=min(makers)))
    if factor != "kind" and len(kinds) == 1:
        said.append(say("all of one kind, {kind}", kind=kind_name(min(kinds))))
    return "; ".join(said) or None


def warning_on_groups(groups: Sequence[Sequence[MachineValue]], factor: str) -> str | None:
    """The same of all groups of a factor together."""
    small = sum(len(group) < SMALL for group in groups)
    of_one_maker = sum(len(_makers(group)) == 1 for group in groups)
    of_one_kind = 0 if factor == "kind" else sum(len(_kinds(group)) == 1 for group in groups)
    every = len(groups)
    told = (
        (
            small,
            say("{some} of {all} groups with fewer than {least} machines",
                some=small, all=every, least=SMALL),
        ),
        (
            of_one_maker,
            say("{some} of {all} groups with machines of one maker only",
                some=of_one_maker, all=every),
        ),
        (
            of_one_kind,
            say("{some} of {all} groups with machines of one kind only",
                some=of_one_kind, all=every),
        ),
    )  # fmt: skip
    return "; ".join(text for how_many, text in told if how_many) or None


def _makers(machines: Sequence[MachineValue]) -> set[str]:
    return {row.maker_name for row in machines}


def _kinds(machines: Sequence[MachineValue]) -> set[str]:
    return {row.kind for row in machines}
