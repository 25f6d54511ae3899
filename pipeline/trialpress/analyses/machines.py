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

PACKAGE = "trialpress.analyses"
SMALL = 5
"""Groups of fewer machines carry a warning."""
SHARE_DECIMALS = 2
P_DECIMALS = 4

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
        missing = "it has no machine as unboxed here" if not first else "there is no other machine"
        return Contrast(None, None, None, None, None, None, None, missing)
    own, others = (np.array([row.value for row in group]) for group in (first, second))
    return _rounded(compare_groups(own, others, confidence), first[0].decimals)


def _rounded(groups: TwoGroups, decimals: int) -> Contrast:
    shift, delta = (
        rounded(estimate, digits)
        for estimate, digits in ((groups.shift, decimals), (groups.delta, SHARE_DECIMALS))
    )
    why = None if shift.low is not None else "there are too few machines for an interval"
    return Contrast(
        shift.value, shift.low, shift.high, delta.value, delta.low, delta.high,
        round(groups.p, P_DECIMALS), why,
    )  # fmt: skip


def rounded(estimate: Estimate, decimals: int) -> Estimate:
    """The same to published digits, without a minus zero."""
    low, high = (
        None if end is None else round(end, decimals) + 0.0 for end in (estimate.low, estimate.high)
    )
    return Estimate(round(estimate.value, decimals) + 0.0, low, high)


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
    said = [f"fewer than {SMALL} machines"] if len(machines) < SMALL else []
    makers, kinds = _makers(machines), _kinds(machines)
    if factor != "maker" and len(makers) == 1:
        said.append(f"all of one maker, {min(makers)}")
    if factor != "kind" and len(kinds) == 1:
        said.append(f"all of one kind, {min(kinds)}")
    return "; ".join(said) or None


def warning_on_groups(groups: Sequence[Sequence[MachineValue]], factor: str) -> str | None:
    """The same of all groups of a factor together."""
    small = sum(len(group) < SMALL for group in groups)
    of_one_maker = sum(len(_makers(group)) == 1 for group in groups)
    of_one_kind = 0 if factor == "kind" else sum(len(_kinds(group)) == 1 for group in groups)
    told = (
        (small, f"fewer than {SMALL} machines"),
        (of_one_maker, "machines of one maker only"),
        (of_one_kind, "machines of one kind only"),
    )
    said = [f"{count} of {len(groups)} groups with {what}" for count, what in told if count]
    return "; ".join(said) or None


def _makers(machines: Sequence[MachineValue]) -> set[str]:
    return {row.maker_name for row in machines}


def _kinds(machines: Sequence[MachineValue]) -> set[str]:
    return {row.kind for row in machines}
