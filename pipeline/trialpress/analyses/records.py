"""The rows of the public tables that analyses make.

In:  nothing.
Out: one frozen dataclass a table; its fields are the columns, in order. Figures are rounded to
     published digits; None is a figure that does not exist, and then ``why`` says why. Columns such
     as ``why`` and ``warning`` hold codes, see ``codes``.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class SetupDeltaRow:
    """``setup_deltas``: one row a pair of set-ups of one machine, and series."""

    machine: str
    protocol: str
    version: int
    setup: str
    other: str
    differs: str
    n: int | None
    other_n: int | None
    mean: float | None
    other_mean: float | None
    difference: float | None
    low: float | None
    high: float | None
    relation: str
    by_less_than_matters: bool
    why: str | None
    unit: str
    decimals: int


@dataclass(frozen=True)
class MachineValueRow:
    """``machine_values``: one row a machine and series, with what the machine is."""

    protocol: str
    version: int
    machine: str
    maker: str
    setups: int
    value: float | None
    kind: str
    head: str | None
    mop: str | None
    price: float | None
    price_band: str | None
    price_band_from: float | None
    price_band_to: float | None
    released_year: int | None
    unit: str
    decimals: int
    why: str | None


@dataclass(frozen=True)
class MakerFieldRow:
    """``maker_against_field``: one row a maker and series.

    ``shift`` is the maker's machines minus those of others of the same kinds, ``raw_shift`` that
    over all kinds; ``pairs_*`` count its set-ups against theirs, as ``comparisons`` tells them.
    """

    maker: str
    protocol: str
    version: int
    machines: int
    others: int
    pairs: int
    pairs_better: int
    pairs_worse: int
    pairs_level: int
    pairs_cannot_tell: int
    median: float | None
    field_median: float | None
    shift: float | None
    shift_low: float | None
    shift_high: float | None
    p: float | None
    p_holm: float | None
    relation: str
    raw_shift: float | None
    differs_from_raw: bool
    only_kind: str | None
    warning: str | None
    why: str | None
    unit: str
    decimals: int


@dataclass(frozen=True)
class AssociationRow:
    """``associations``: one row a series and factor, and whether it goes with the results.

    ``effect`` is a rank correlation for an ordered factor, eta squared for one with groups, both
    within kinds; ``raw_*`` are over all kinds together.
    """

    protocol: str
    version: int
    factor: str
    machines: int
    makers: int
    left_out: int
    groups: int | None
    groups_small: int | None
    groups_of_one_maker: int | None
    effect_name: str
    effect: float | None
    effect_low: float | None
    effect_high: float | None
    p: float | None
    p_fdr: float | None
    relation: str
    raw_effect: float | None
    raw_p: float | None
    differs_from_raw: bool
    warning: str | None
    why: str | None


@dataclass(frozen=True)
class AssociationGroupRow:
    """``association_groups``: one row a series, factor and group.

    ``shift`` is its machines minus others of their kinds, ``raw_shift`` that over all kinds.
    """

    protocol: str
    version: int
    factor: str
    level: str
    machines: int
    others: int
    median: float
    lowest: float
    highest: float
    shift: float | None
    shift_low: float | None
    shift_high: float | None
    p: float | None
    p_fdr: float | None
    relation: str
    raw_shift: float | None
    raw_p: float | None
    differs_from_raw: bool
    only_maker: str | None
    only_kind: str | None
    warning: str | None
    why: str | None
    unit: str
    decimals: int


@dataclass(frozen=True)
class ClaimCheckRow:
    """``claim_checks``: one row a claim, and what it is held against.

    ``value`` is what was stated, in the unit of its dimension. ``bound`` is what it is held
    against, the tolerance granted, and ``difference`` what was measured minus that, both in the
    series' unit; ``candidates`` counts the set-ups of which the most favourable was taken.
    """

    claim: str
    machine: str
    maker: str
    quantity: str
    stated_value: float
    stated_unit: str
    tolerance_pct: float
    source: str
    stated_on: date
    is_newest: bool
    is_of_machine: bool
    value: float | None
    unit: str | None
    dimension: str | None
    protocol: str | None
    version: int | None
    setup: str | None
    held_against: str | None
    candidates: int | None
    bound: float | None
    measured: float | None
    n: int | None
    difference: float | None
    difference_low: float | None
    difference_high: float | None
    p: float | None
    p_holm: float | None
    verdict: str | None
    decimals: int | None
    why: str | None


@dataclass(frozen=True)
class ClaimAssociationRow:
    """``claim_associations``: one row a stated quantity and series: whether they go together."""

    quantity: str
    unit: str
    protocol: str
    version: int
    machines: int
    makers: int
    rho: float | None
    rho_low: float | None
    rho_high: float | None
    p: float | None
    p_fdr: float | None
    relation: str
    raw_rho: float | None
    raw_p: float | None
    differs_from_raw: bool
    warning: str | None
    why: str | None


@dataclass(frozen=True)
class AirPowerRow:
    """``air_powers``: one row a pressure and flow stated together and their product."""

    machine: str
    operating_point: str | None
    source: str
    stated_on: date
    pressure_kpa: float
    flow_l_per_s: float
    ceiling_w: float
    air_power_w: float | None
    why: str | None


@dataclass(frozen=True)
class ValueRow:
    """``value_front``: one row an unboxed set-up and series, or the overall."""

    protocol: str
    version: int
    setup: str
    machine: str
    maker: str
    mean: float
    low: float | None
    high: float | None
    n: int | None
    price: float | None
    currency: str | None
    priced_on: date | None
    is_price_old: bool | None
    cost_no_more: int | None
    front: str | None
    beaten_by: str | None
    beaten_by_count: int | None
    unit: str
    decimals: int
    why: str | None


@dataclass(frozen=True)
class SpanRow:
    """``movement_spans``: one row a date that the build is compared with."""

    since: date
    until: date
    bench_days: int
    why: str | None


@dataclass(frozen=True)
class MovementRow:
    """``movements``: one row a span, series and set-up: where it stood, stands, and why."""

    since: date
    until: date
    protocol: str
    version: int
    setup: str
    change: str
    place_before: int | None
    place: int | None
    mean_before: float | None
    mean: float | None
    place_best_before: int | None
    place_worst_before: int | None
    place_best: int | None
    place_worst: int | None
    new_runs: int
    corrected_runs: int
    new_above: int
    others_passed: int
    why: str | None
    decimals_before: int | None
    decimals: int
