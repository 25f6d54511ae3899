"""What a reader can filter the set-ups of a page by.

In:  the set-ups on the page and the view about their machines.
Out: the choices of each control, and the keys of each row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trialpress.view import View, terms, typed
from trialpress.view.terms import kind_name
from trialpress.words import figures, say


@dataclass(frozen=True)
class Choice:
    """One choice of a control."""

    value: str
    words: str


@dataclass(frozen=True)
class FilterChoices:
    """The choices of each control; empty where there is nothing to choose between.

    ``shown`` says how many rows are shown before anything is filtered.
    """

    kinds: tuple[Choice, ...]
    makers: tuple[Choice, ...]
    heads: tuple[Choice, ...]
    acquired: tuple[Choice, ...]
    currency: str
    shown: str


@dataclass(frozen=True)
class FilterKeys:
    """What one row is filtered by; ``price`` is blank where it is unknown or in other money.

    ``kind_words`` and ``price_words`` are what the row shows of it.
    """

    kind: str
    maker: str
    head: str
    acquired: str
    price: str
    complete: str
    kind_words: str
    price_words: str


def filter_keys(view: View, setup: str) -> FilterKeys:
    """The keys of one set-up."""
    machine = view.machine[view.setup[setup].machine]
    return machine_keys(view, machine, is_complete=setup in view.complete_setups)


def machine_keys(view: View, machine: typed.Machine, *, is_complete: bool) -> FilterKeys:
    """The keys of one machine; ``is_complete`` where it has an overall place."""
    return FilterKeys(
        kind=machine.kind,
        maker=machine.maker,
        head=machine.head or "",
        acquired=machine.acquired,
        price=comparable_price(view, machine),
        complete="true" if is_complete else "false",
        kind_words=kind_name(machine.kind),
        price_words=_price(machine),
    )


def comparable_price(view: View, machine: typed.Machine) -> str:
    """A price in the bench's money; blank where it is unknown or in other money."""
    is_comparable = machine.price is not None and machine.currency == view.settings.currency
    return f"{machine.price:.12g}" if is_comparable else ""


def filter_choices(view: View, setups: Sequence[str], rows: int | None = None) -> FilterChoices:
    """The choices that the set-ups of a page leave, in the order of the words; a row each or so."""
    every = len(setups) if rows is None else rows
    keys = [filter_keys(view, setup) for setup in setups]
    return FilterChoices(
        kinds=_choices({key.kind: kind_name(key.kind) for key in keys}),
        makers=_choices({key.maker: view.maker[key.maker].name for key in keys}),
        heads=_choices({key.head: key.head for key in keys if key.head}),
        acquired=_choices({key.acquired: terms.ACQUIRED[key.acquired] for key in keys}),
        currency=view.settings.currency,
        shown=say("{shown} of {all} shown", shown=every, all=every),
    )


def _price(machine: typed.Machine) -> str:
    if machine.price is None:
        return ""
    return figures.money(machine.price, machine.currency or "").strip(figures.NO_BREAK_SPACE)


def _choices(words: dict[str, str]) -> tuple[Choice, ...]:
    in_order = sorted(words.items(), key=lambda item: (item[1].casefold(), item[0]))
    return tuple(Choice(value, label) for value, label in in_order) if len(in_order) > 1 else ()
