"""Sentences on results against prices.

In:  rows of ``value_front``.
Out: text, one sentence a set-up, and a few a series. Machines without a comparable price are never
     said to be beaten or unbeaten.
"""

from __future__ import annotations

from collections.abc import Sequence

from trialpress.analyses.records import ValueRow
from trialpress.sentences.names import Names, SeriesKey
from trialpress.words.figures import (
    count,
    day,
    interval,
    money,
    number,
    percent,
    with_unit,
)


def value(row: ValueRow, names: Names) -> str:
    """Whether anybody beats a set-up at its price."""
    name, title = names.setups[row.setup].full, names.title((row.protocol, row.version))
    start = f"{name}, on {title}: {_mean(row, names)}"
    if row.front is None or row.price is None:
        return f"{start}; not compared by price, as {row.why}."
    return f"{start} for {_price(row)}; {_front(row, names)}.{_age(row)}"


def front(rows: Sequence[ValueRow], key: SeriesKey, names: Names) -> str:
    """How many set-ups of a series nobody beats at their price, and how old the prices are."""
    title = names.title(key)
    compared = [row for row in rows if row.front is not None]
    if not compared:
        return f"On {title} no set-up as unboxed has a comparable price."
    kinds = [row.front for row in compared]
    certain, possible, beaten = (kinds.count(one) for one in ("certain", "possible", "beaten"))
    have = "has" if len(compared) == 1 else "have"
    start = f"On {title} {count(len(compared), 'set-up', 'set-ups')} as unboxed {have} a comparable price"
    told = (
        f"{start}: {certain} certainly unbeaten at that price, {possible} where that cannot be "
        f"told, {beaten} beaten by one that costs no more."
    )
    old = sum(bool(row.is_price_old) for row in compared)
    if not old:
        return told
    return f"{told} {count(old, 'price', 'prices')} {'is' if old == 1 else 'are'} more than a year old."


def _mean(row: ValueRow, names: Names) -> str:
    told = with_unit(number(row.mean, row.decimals), row.unit)
    runs = f", {count(row.n, 'run', 'runs')}" if row.n is not None else ""
    if row.low is None or row.high is None:
        return f"{told} (no interval{runs})"
    ends = interval(row.low, row.high, row.decimals)
    return f"{told} ({percent(names.confidence)} interval {ends}{runs})"


def _price(row: ValueRow) -> str:
    told = money(row.price or 0.0, row.currency or "")
    return f"{told} ({day(row.priced_on)})" if row.priced_on else f"{told} (undated)"


def _front(row: ValueRow, names: Names) -> str:
    if row.front == "beaten":
        more = (row.beaten_by_count or 1) - 1
        others = f" and {count(more, 'other', 'others')}" if more else ""
        verb = "are" if more else "is"
        costs = "cost" if more else "costs"
        beaten_by = names.setups[row.beaten_by or row.setup].full
        return f"{beaten_by}{others} {costs} no more and {verb} better"
    if not row.cost_no_more:
        return "no other set-up with a comparable price costs as little"
    if row.cost_no_more == 1:
        others, all_of, one_of = "other set-up that costs no more", "the one", "the one"
    else:
        others = f"{count(row.cost_no_more, 'other set-up', 'other set-ups')} that cost no more"
        all_of, one_of = "all of the", "one of the"
    if row.front == "certain":
        return f"better than {all_of} {others}"
    return f"cannot tell whether {one_of} {others} beats it"


def _age(row: ValueRow) -> str:
    return " The price is more than a year old." if row.is_price_old else ""
