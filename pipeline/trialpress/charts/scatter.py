"""Results held against prices and against stated figures, a dot a machine.

In:  ``value_front`` and ``claim_associations``, with names.
Out: charts by series, and by stated quantity.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from trialpress.charts import scatter_wording as wording
from trialpress.charts.chart import Chart, Json
from trialpress.charts.picture import Words, draw_chart
from trialpress.charts.scatter_form import scatter_mould
from trialpress.charts.wording import set_up_name
from trialpress.store import Store, read_sql
from trialpress.words import figures, say

PACKAGE = "trialpress.charts"
DOT = "possible"


@dataclass(frozen=True)
class PricedValue:
    """A set-up with a comparable price in one series, or in the overall, which has no title."""

    protocol: str
    version: int
    title: str | None
    better: str
    setup: str
    label: str
    machine_name: str
    maker_name: str
    mean: float
    low: float | None
    high: float | None
    price: float
    currency: str
    is_price_old: bool | None
    front: str
    unit: str
    decimals: int


@dataclass(frozen=True)
class ClaimedValue:
    """A machine with a stated figure and a value in one series."""

    quantity: str
    stated_in: str
    protocol: str
    version: int
    title: str
    better: str
    machine: str
    machine_name: str
    maker_name: str
    stated: float
    measured: float
    machines: int
    rho: float
    rho_low: float | None
    rho_high: float | None
    unit: str
    decimals: int


@dataclass(frozen=True)
class ScatterMark:
    """One dot as it is drawn; ``setup`` is None for what a filter does not know."""

    heading: str
    heading_position: int
    setup: str | None
    kind: str
    against: float
    value: float
    low: float | None
    high: float | None
    reading: str


def draw_values(store: Store) -> Mapping[tuple[str, int], Chart]:
    """Results against prices, by series; the overall has version 0."""
    rows = store.records(PricedValue, read_sql(PACKAGE, "queries/value_front.sql"))
    series = groupby(rows, key=lambda row: (row.protocol, row.version))
    return {key: _draw_value(list(group)) for key, group in series}


def draw_claims(store: Store) -> Mapping[str, Chart]:
    """Results against stated figures, by quantity; a panel a series in percent."""
    rows = store.records(ClaimedValue, read_sql(PACKAGE, "queries/claimed_and_measured.sql"))
    quantities = groupby(rows, key=lambda row: (row.quantity, row.stated_in))
    by_unit = {key: list(group) for key, group in quantities}
    shared = [quantity for quantity, _ in by_unit]
    return {
        quantity if shared.count(quantity) == 1 else f"{quantity} in {unit}": _draw_claim(group)
        for (quantity, unit), group in by_unit.items()
    }


def _draw_value(rows: Sequence[PricedValue]) -> Chart:
    first = rows[0]
    heading = wording.value_heading(first.unit, first.better, first.currency)
    marks = [_value_mark(row, heading) for row in rows]
    kinds = [row.front for row in rows]
    words = Words(
        name=f"value-{first.protocol}-v{first.version}",
        title=wording.value_title(first.title),
        description=wording.value_description(
            len(rows), kinds.count("certain"), kinds.count("possible")
        ),
        caption=say(wording.VALUE_CAPTION),
    )
    return draw_chart(
        words,
        wide=_pour(marks, is_single=True, narrow=False, is_log=True),
        narrow=_pour(marks, is_single=True, narrow=True, is_log=True),
    )


def _value_mark(row: PricedValue, heading: str) -> ScatterMark:
    name = set_up_name(row.maker_name, row.machine_name, row.label)
    return ScatterMark(
        heading=heading,
        heading_position=0,
        setup=row.setup,
        kind=row.front,
        against=row.price,
        value=row.mean,
        low=row.low,
        high=row.high,
        reading=wording.value_reading(
            name,
            figures.number(row.mean, row.decimals),
            row.unit,
            wording.price(row.price, row.currency, is_old=bool(row.is_price_old)),
            row.front,
        ),
    )


def _draw_claim(rows: Sequence[ClaimedValue]) -> Chart:
    first = rows[0]
    marks = list(_claim_marks(rows))
    panels = len({mark.heading_position for mark in marks})
    words = Words(
        name=f"claims-{first.quantity}-{wording.slug(first.stated_in)}",
        title=wording.claims_title(first.quantity),
        description=wording.claims_description(first.quantity, panels),
        caption=wording.claims_caption(first.quantity, first.stated_in),
    )
    is_single = panels == 1
    return draw_chart(
        words,
        wide=_pour(marks, is_single=is_single, narrow=False, is_log=False),
        narrow=_pour(marks, is_single=is_single, narrow=True, is_log=False),
    )


def _claim_marks(rows: Sequence[ClaimedValue]) -> Iterator[ScatterMark]:
    for position, (_, group) in enumerate(
        groupby(rows, key=lambda row: (row.protocol, row.version))
    ):
        for row in group:
            yield ScatterMark(
                heading=wording.claims_heading(
                    row.title, row.machines, row.rho, (row.rho_low, row.rho_high)
                ),
                heading_position=position,
                setup=None,
                kind=DOT,
                against=row.stated,
                value=row.measured,
                low=None,
                high=None,
                reading=wording.claim_reading(
                    f"{row.maker_name} {row.machine_name}",
                    row.stated,
                    row.stated_in,
                    f"{figures.number(row.measured, row.decimals)} {row.unit}",
                ),
            )


def _pour(
    marks: Sequence[ScatterMark], *, is_single: bool, narrow: bool, is_log: bool
) -> dict[str, Json]:
    mould = scatter_mould(is_single=is_single, narrow=narrow, is_log=is_log)
    ticks = price_ticks([mark.against for mark in marks]) if is_log else []
    return mould.pour({"rows": marks}, {"ticks": list(ticks)} if is_log else {})


def price_ticks(prices: Sequence[float]) -> list[float]:
    """Round prices, in steps of 1, 2 and 5, that lie within those given."""
    steps = (step * 10.0**power for power in range(-2, 9) for step in (1, 2, 5))
    return [round(step, 2) for step in steps if min(prices) <= step <= max(prices)]
