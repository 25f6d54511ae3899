"""Which machines nobody beats at their price.

In:  standings with prices, and the pairs that the runs tell apart.
Out: ``ValueRow`` records. Prices in other currencies are left apart, never converted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from trialpress.analyses.codes import Front, Why
from trialpress.analyses.machines import PACKAGE, SeriesKey
from trialpress.analyses.records import ValueRow
from trialpress.store import Store, read_sql

Pairs = frozenset[tuple[str, str]]


@dataclass(frozen=True)
class Priced:
    """A set-up as unboxed in one series, with its machine's price."""

    protocol: str
    version: int
    position: int
    setup: str
    machine: str
    maker: str
    mean: float
    low: float | None
    high: float | None
    n: int | None
    place_best: int | None
    place_worst: int | None
    price: float | None
    currency: str | None
    priced_on: date | None
    is_in_bench_currency: bool | None
    unit: str
    decimals: int

    @property
    def key(self) -> SeriesKey:
        """The series."""
        return self.protocol, self.version


def read_value_rows(store: Store) -> list[ValueRow]:
    """The front of every series and of the overall."""
    pairs = read_sql(PACKAGE, "queries/better_pairs.sql")
    priced = store.records(Priced, read_sql(PACKAGE, "queries/priced.sql"))
    return [
        row
        for key, group in groupby(priced, key=lambda row: row.key)
        for row in value_rows(list(group), frozenset(store.rows(pairs, key)), store.as_of)
    ]


def value_rows(series: Sequence[Priced], better: Pairs, as_of: date) -> Iterator[ValueRow]:
    """The set-ups of one series against each other's prices, in the order of the standing."""
    compared = [row for row in series if _is_compared(row)]
    for row in series:
        rivals = [rival for rival in compared if rival.machine != row.machine]
        yield _value_row(row, rivals if _is_compared(row) else None, better, as_of)


def _is_compared(row: Priced) -> bool:
    return row.price is not None and bool(row.is_in_bench_currency)


def _value_row(
    row: Priced, rivals: Sequence[Priced] | None, better: Pairs, as_of: date
) -> ValueRow:
    at_its_price = [
        rival
        for rival in rivals or ()
        if row.price is not None and rival.price is not None and rival.price <= row.price
    ]
    beaten_by = [rival.setup for rival in at_its_price if (rival.setup, row.setup) in better]
    return ValueRow(
        protocol=row.protocol,
        version=row.version,
        setup=row.setup,
        machine=row.machine,
        maker=row.maker,
        mean=row.mean,
        low=row.low,
        high=row.high,
        n=row.n,
        price=row.price,
        currency=row.currency,
        priced_on=row.priced_on,
        is_price_old=None if row.priced_on is None else is_old(row.priced_on, as_of),
        cost_no_more=None if rivals is None else len(at_its_price),
        front=None if rivals is None else _front(row, at_its_price, beaten_by, better),
        beaten_by=beaten_by[0] if beaten_by else None,
        beaten_by_count=None if rivals is None else len(beaten_by),
        unit=row.unit,
        decimals=row.decimals,
        why=_why(row),
    )


def _front(
    row: Priced, at_its_price: Sequence[Priced], beaten_by: Sequence[str], better: Pairs
) -> Front:
    """Certain where it is better than all that cost no more; beaten where one of them is better."""
    if beaten_by:
        return Front.BEATEN
    beats_all = all((row.setup, rival.setup) in better for rival in at_its_price)
    return Front.CERTAIN if beats_all else Front.POSSIBLE


def _why(row: Priced) -> Why | None:
    if row.price is None:
        return Why.NO_PRICE
    if row.is_in_bench_currency:
        return None
    return Why.OTHER_CURRENCY if row.currency else Why.NO_CURRENCY


def is_old(priced_on: date, as_of: date) -> bool:
    """Whether a price was noted more than a year before the build."""
    return (priced_on.year + 1, priced_on.month, priced_on.day) < (
        as_of.year, as_of.month, as_of.day
    )  # fmt: skip
