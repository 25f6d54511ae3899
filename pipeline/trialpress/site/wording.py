"""Numbers, dates, money and counts as the site's pages write them.

In:  values as the store holds them, figures already rounded to their published digits.
Out: text. No page words a number anywhere else.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

MINUS = "\N{MINUS SIGN}"
TIMES = "\N{MULTIPLICATION SIGN}"
DASH = "\N{EN DASH}"
NARROW_SPACE = "\N{NARROW NO-BREAK SPACE}"
NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def number(value: float, decimals: int) -> str:
    """A figure with its published decimals, a true minus sign and no negative zero."""
    text = f"{value:.{decimals}f}"
    digits = text.lstrip("-")
    is_zero = not digits.strip("0.")
    return digits if is_zero or not text.startswith("-") else MINUS + digits


def signed(value: float, decimals: int) -> str:
    """A difference with its sign: ``+1.2``, a true minus, and no sign on zero."""
    text = number(value, decimals)
    return f"+{text}" if text.strip("0.") and not text.startswith(MINUS) else text


def typed_number(value: float) -> str:
    """A figure from the catalogue with the digits it needs and no more."""
    text = f"{value:.12f}".rstrip("0").rstrip(".")
    return text.replace("-", MINUS)


def formula(typed: str) -> str:
    """A formula as a terminal shows it, with the signs of print."""
    for plain, sign in (("+-", "±"), (" * ", f" {TIMES} "), ("^2", "²")):
        typed = typed.replace(plain, sign)
    return typed


def uncertainty(value: float | None, decimals: int) -> str:
    """A run's standard uncertainty: unknown, or under what its digits can show, where it is so."""
    if value is None:
        return "unknown"
    half_a_digit = 0.5 * 10.0**-decimals
    return number(value, decimals) if value else f"under {half_a_digit:.{decimals + 1}f}"


def interval(low: float, high: float, decimals: int) -> str:
    """Both ends of an interval: ``92.2 to 94.6``."""
    return f"{number(low, decimals)} to {number(high, decimals)}"


def with_unit(text: str, unit: str) -> str:
    """A figure and its unit, kept together on one line."""
    return f"{text}{NO_BREAK_SPACE}{unit}" if unit else text


def places(best: int, worst: int) -> str:
    """The range of places that the data cannot rule out, joined by an en dash, or the one place."""
    return str(best) if best == worst else f"{best}{DASH}{worst}"


def places_spoken(best: int, worst: int) -> str:
    """The same range for a sentence: ``place 4`` or ``places 4 to 9``."""
    return f"place {best}" if best == worst else f"places {best} to {worst}"


def could_be(best: int, worst: int) -> str:
    """The same range as a reader would say it, after "could be": ``anywhere from 4th to 9th``."""
    if best == worst:
        return f"nothing but {ordinal(best)}"
    return f"anywhere from {ordinal(best)} to {ordinal(worst)}"


def ordinal(place: int) -> str:
    """``1st``, ``2nd``, ``3rd``, ``11th``."""
    teens = range(11, 14)
    ending = "th" if place % 100 in teens else {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")
    return f"{place}{ending}"


def count(how_many: int, singular: str, plural: str = "") -> str:
    """``1 run``, ``3 runs``, ``1,204 runs``."""
    noun = singular if how_many == 1 else plural or f"{singular}s"
    return f"{how_many:,}{NO_BREAK_SPACE}{noun}"


def listing(names: Sequence[str], link: str = "and") -> str:
    """``A``, ``A and B``, ``A, B and C``."""
    if len(names) <= 1:
        return "".join(names)
    return f"{', '.join(names[:-1])} {link} {names[-1]}"


def money(amount: float, currency: str) -> str:
    """A price with its currency's code: ``EUR 1,249`` or ``EUR 89.90``."""
    text = f"{amount:,.2f}".removesuffix(".00")
    return f"{currency}{NO_BREAK_SPACE}{text}"


def day(when: date) -> str:
    """``2 March 2025``."""
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}"


def moment(at: str) -> str:
    """A time as typed (``2025-03-02T14:05`` or a date alone) in words."""
    typed_day, _, time_of_day = at.partition("T")
    worded = day(date.fromisoformat(typed_day))
    return f"{worded}, {time_of_day}" if time_of_day else worded


def percent(share: float) -> str:
    """A share of one as a whole or tenth of a percentage: ``95 %`` or ``99.5 %``."""
    return with_unit(typed_number(round(share * 100, 6)), "%")


def share(inside: int, tried: int) -> str:
    """``2 of 5``."""
    return f"{inside} of {tried}"


def file_size(size_bytes: int) -> str:
    """``812 bytes``, ``12.4 kB``, ``3.1 MB``."""
    kilo, mega = 1_000, 1_000_000
    if size_bytes < kilo:
        return count(size_bytes, "byte")
    if size_bytes < mega:
        return f"{size_bytes / kilo:.1f}{NO_BREAK_SPACE}kB"
    return f"{size_bytes / mega:.1f}{NO_BREAK_SPACE}MB"


def sentence(text: str) -> str:
    """A typed phrase as a sentence: a full stop at the end, a capital first where it is a word."""
    return capitalised(text if not text or text[-1] in ".?!" else f"{text}.")


def capitalised(text: str) -> str:
    """The same with a capital first, where it starts with a word and not with a path or figure."""
    first_word = text.partition(" ")[0].strip(",;:.")
    return text[0].upper() + text[1:] if first_word.isalpha() else text
