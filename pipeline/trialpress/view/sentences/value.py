"""Sentences on results against prices.

In:  rows of ``value_front``.
Out: text, one sentence a set-up, and a few a series. Machines without a comparable price are never
     said to be beaten or unbeaten.
"""

from __future__ import annotations

from collections.abc import Sequence

from trialpress.analyses.records import ValueRow
from trialpress.view.names import Names, SeriesKey
from trialpress.view.terms import why_words
from trialpress.words import say, say_count
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
    values = {
        "name": names.setups[row.setup].full,
        "title": names.title((row.protocol, row.version)),
        "mean": _mean(row, names),
    }
    if row.front is None or row.price is None:
        return say(
            "{name}, on {title}: {mean}; not compared by price, as {why}.",
            why=why_words(row.why, currency=row.currency),
            **values,
        )
    verdict = say(
        "{name}, on {title}: {mean} for {price}; {verdict}.",
        price=_price(row),
        verdict=_front(row, names),
        **values,
    )
    return f"{verdict}{_age(row)}"


def front(rows: Sequence[ValueRow], key: SeriesKey, names: Names) -> str:
    """How many set-ups of a series nobody beats at their price, and how old the prices are."""
    title = names.title(key)
    compared = [row for row in rows if row.front is not None]
    if not compared:
        return say("On {title} no set-up as unboxed has a comparable price.", title=title)
    kinds = [row.front for row in compared]
    counts = say_count(
        "On {title} {count}\N{NO-BREAK SPACE}set-up as unboxed has a comparable price: {certain} "
        "shown to be unbeaten at that price, {possible} where that cannot be told, {beaten} beaten "
        "by one that costs no more.",
        "On {title} {count}\N{NO-BREAK SPACE}set-ups as unboxed have a comparable price: {certain} "
        "shown to be unbeaten at that price, {possible} where that cannot be told, {beaten} beaten "
        "by one that costs no more.",
        len(compared),
        title=title,
        certain=kinds.count("certain"),
        possible=kinds.count("possible"),
        beaten=kinds.count("beaten"),
    )
    old = sum(bool(row.is_price_old) for row in compared)
    if not old:
        return counts
    aged = say_count(
        "{count}\N{NO-BREAK SPACE}price is more than a year old.",
        "{count}\N{NO-BREAK SPACE}prices are more than a year old.",
        old,
    )
    return f"{counts} {aged}"


def _mean(row: ValueRow, names: Names) -> str:
    mean = with_unit(number(row.mean, row.decimals), row.unit)
    basis = say("no interval")
    if row.low is not None and row.high is not None:
        ends = interval(row.low, row.high, row.decimals)
        basis = say("{confidence} interval {ends}", confidence=percent(names.confidence), ends=ends)
    if row.n is not None:
        basis = ", ".join((basis, count(row.n, "run", "runs")))
    return f"{mean} ({basis})"


def _price(row: ValueRow) -> str:
    price = money(row.price or 0.0, row.currency or "")
    noted = day(row.priced_on) if row.priced_on else say("undated")
    return f"{price} ({noted})"


def _front(row: ValueRow, names: Names) -> str:
    if row.front == "beaten":
        return _beaten(names.setups[row.beaten_by or row.setup].full, row.beaten_by_count or 1)
    if not row.cost_no_more:
        return say("no other set-up with a comparable price costs as little")
    if row.front == "certain" and row.cost_no_more == 1:
        return say("better than the one other set-up that costs no more")
    if row.front == "certain":
        others = count(row.cost_no_more, "other set-up", "other set-ups")
        return say("better than all of the {others} that cost no more", others=others)
    if row.cost_no_more == 1:
        return say("cannot tell whether the one other set-up that costs no more beats it")
    others = count(row.cost_no_more, "other set-up", "other set-ups")
    return say("cannot tell whether one of the {others} that cost no more beats it", others=others)


def _beaten(first: str, how_many: int) -> str:
    if how_many == 1:
        return say("{name} costs no more and is better", name=first)
    others = count(how_many - 1, "other", "others")
    return say("{name} and {others} cost no more and are better", name=first, others=others)


def _age(row: ValueRow) -> str:
    return " " + say("The price is more than a year old.") if row.is_price_old else ""
