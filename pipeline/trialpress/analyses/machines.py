"""Machines with their one value a series, and what to beware of in a group of them.

In:  ``machine_values`` of the store.
Out: records, the arrays that tests are worked out from, and codes of warnings.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from trialpress.analyses.codes import Beware, joined
from trialpress.analyses.ranks import Estimate, Integers
from trialpress.analyses.sign_flips import Compared
from trialpress.results.rounding import half_even
from trialpress.results.separation import Relation
from trialpress.store import Store, read_sql

PACKAGE = "trialpress.analyses"
SMALL = 5
"""Groups of fewer machines carry a warning."""
SHARE_DECIMALS = 2

SeriesKey = tuple[str, int]


@dataclass(frozen=True)
class MachineValue:
    """One machine in one series: the median over its set-ups as unboxed."""

    protocol: str
    version: int
    machine: str
    maker: str
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


def read_machine_values(store: Store) -> dict[SeriesKey, list[MachineValue]]:
    """Every machine with a value, by series."""
    rows = store.records(MachineValue, read_sql(PACKAGE, "queries/machine_values.sql"))
    grouped = groupby(rows, key=lambda row: (row.protocol, row.version))
    return {key: list(group) for key, group in grouped}


def compared_of(machines: Sequence[MachineValue]) -> Compared:
    """Machines as arrays: values, kinds as strata, makers."""
    return Compared(
        values=np.array([row.value for row in machines]),
        strata=numbered([row.kind for row in machines]),
        makers=numbered([row.maker for row in machines]),
    )


def numbered(names: Sequence[str]) -> Integers:
    """Names as numbers from 0, in the order of their letters."""
    numbers = {name: number for number, name in enumerate(sorted(set(names)))}
    return np.array([numbers[name] for name in names], dtype=np.int64)


def rounded(estimate: Estimate, decimals: int) -> Estimate:
    """The same to published digits, without a minus zero."""
    low, high = (
        None if end is None else half_even(end, decimals) for end in (estimate.low, estimate.high)
    )
    return Estimate(half_even(estimate.value, decimals), low, high)


def side_of(low: float | None, high: float | None, *, higher_is_better: bool) -> Relation:
    """``better`` or ``worse`` where the interval of a shift, as published, excludes 0."""
    if low is None or high is None or low <= 0 <= high:
        return Relation.CANNOT_TELL
    return Relation.BETTER if (low > 0) == higher_is_better else Relation.WORSE


def only_one(names: Sequence[str]) -> str | None:
    """The name that all share; None where they share none."""
    return names[0] if len(set(names)) == 1 else None


def warning_on(machines: Sequence[MachineValue], factor: str) -> str | None:
    """What to beware of in one group: that it is small, or of one maker or one kind."""
    return joined(_warnings(machines, factor))


def _warnings(machines: Sequence[MachineValue], factor: str) -> Iterator[Beware]:
    if len(machines) < SMALL:
        yield Beware.FEW_MACHINES
    if factor != "maker" and only_one([row.maker for row in machines]):
        yield Beware.ONE_MAKER
    if factor != "kind" and only_one([row.kind for row in machines]):
        yield Beware.ONE_KIND
