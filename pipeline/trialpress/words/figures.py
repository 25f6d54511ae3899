"""Figures, dates, money and lists as the language spoken writes them.

In:  values as the store holds them, figures already rounded to their published digits.
Out: text. Nothing that readers see words a number anywhere else.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import lru_cache
from typing import Literal

from babel import Locale
from babel.dates import format_date
from babel.lists import format_list

from trialpress.words.language import form, say, spoken, whole

NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"
TIMES = "\N{MULTIPLICATION SIGN}"
DASH = "\N{EN DASH}"
SMALLEST_P = 0.0001
P_DIGITS = ((2, 0.1), (3, 0.01))


def plain(text: str) -> str:
    """A number in Python's notation with the signs of the language: ``-1,204.5``."""
    return text.translate(spoken().signs)


def number(value: float, decimals: int) -> str:
    """A figure with its published decimals, a true minus sign and no negative zero."""
    text = f"{value:.{decimals}f}"
    return plain(text if text.strip("-0.") else text.lstrip("-"))


def signed(value: float, decimals: int) -> str:
    """A difference with its sign: ``+1.2``, a true minus, and no sign on zero."""
    plus = "+" if float(f"{value:.{decimals}f}") > 0 else ""
    return plus + number(value, decimals)


def typed_number(value: float) -> str:
    """A figure as somebody stated it, with the digits it needs and no more."""
    return plain(f"{value:.12f}".rstrip("0").rstrip("."))


def three_digits(value: float) -> str:
    """A converted figure, to three significant digits and never with an exponent."""
    whole_digits = len(f"{abs(value):.0f}")
    if whole_digits >= len("100"):
        return typed_number(float(f"{value:.0f}"))
    return typed_number(float(f"{value:.3g}"))


def p_value(p: float) -> str:
    """``p 0.028``, ``p 1.00`` or ``p under 0.0001``; never rounded to nothing."""
    if p < SMALLEST_P:
        return say("p under {least}", least=plain(f"{SMALLEST_P:.4f}"))
    digits = next((digits for digits, from_ in P_DIGITS if p >= from_), 4)
    return f"p {number(p, digits)}"


def difference_unit(unit: str) -> str:
    """The unit of a difference: percentages differ by points."""
    return say("points") if unit == "%" else unit


def interval(low: float, high: float, decimals: int) -> str:
    """Both ends of an interval: ``92.2 to 94.6``."""
    return say("{low} to {high}", low=number(low, decimals), high=number(high, decimals))


def with_unit(text: str, unit: str) -> str:
    """A figure and its unit, kept together on one line."""
    return f"{text}{NO_BREAK_SPACE}{unit}" if unit else text


def percent(share: float) -> str:
    """A share of one as a percentage with the digits it needs: ``95 %`` or ``99.5 %``."""
    return with_unit(typed_number(round(share * 100, 6)), "%")


def places(best: int, worst: int) -> str:
    """The range of places that the data cannot rule out, joined by an en dash, or the one place."""
    return str(best) if best == worst else f"{best}{DASH}{worst}"


def places_spoken(best: int, worst: int) -> str:
    """The same range for a sentence: ``place 4`` or ``places 4 to 9``."""
    if best == worst:
        return say("place {place}", place=best)
    return say("places {best} to {worst}", best=best, worst=worst)


def ordinal(place: int) -> str:
    """``1st``, ``2nd``, ``3rd``, ``11th``."""
    teens = range(11, 14)
    last = 0 if place % 100 in teens else place % 10
    endings = {1: say("{place}st", place=place), 2: say("{place}nd", place=place),
               3: say("{place}rd", place=place)}  # fmt: skip
    return endings.get(last) or say("{place}th", place=place)


def count(how_many: int, one: str, many: str) -> str:
    """A number and its noun, kept together on one line: ``1 run``, ``1,204 runs``."""
    return f"{whole(how_many)}{NO_BREAK_SPACE}{form(one, many, how_many)}"


def listing(names: Sequence[str], link: Literal["and", "or"] = "and") -> str:
    """``A``, ``A and B``, ``A, B and C``."""
    styles: dict[str, Literal["standard", "or"]] = {"and": "standard", "or": "or"}
    return format_list(names, style=styles[link], locale=spoken().locale)


def money(amount: float, currency: str) -> str:
    """A price with its currency's code: ``EUR 1,249`` or ``EUR 89.90``."""
    text = f"{amount:,.2f}".removesuffix(".00")
    return f"{currency}{NO_BREAK_SPACE}{plain(text)}"


def day(when: date) -> str:
    """``2 March 2025``."""
    return _date(when, "long", spoken().locale)


def short_day(when: date) -> str:
    """``2 Mar 2025``."""
    return _date(when, "medium", spoken().locale)


@lru_cache(maxsize=4096)  # a page tells the few days of a bench again and again
def _date(when: date, style: Literal["long", "medium"], locale: Locale) -> str:
    return format_date(when, style, locale=locale)


def moment(at: str) -> str:
    """A time as typed (``2025-03-02T14:05`` or a date alone) in words."""
    typed_day, _, time_of_day = at.partition("T")
    worded = day(date.fromisoformat(typed_day))
    return f"{worded}, {time_of_day}" if time_of_day else worded


def file_size(size_bytes: int) -> str:
    """``812 bytes``, ``12.4 kB``, ``3.1 MB``."""
    kilo, mega = 1_000, 1_000_000
    if size_bytes < kilo:
        return count(size_bytes, "byte", "bytes")
    if size_bytes < mega:
        return with_unit(plain(f"{size_bytes / kilo:.1f}"), "kB")
    return with_unit(plain(f"{size_bytes / mega:.1f}"), "MB")
