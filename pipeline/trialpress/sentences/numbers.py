"""Figures as the sentences write them.

In:  figures rounded to published digits.
Out: text: true minus signs, units kept to their figure, ranges with both ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

MINUS = "\N{MINUS SIGN}"
NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"
SMALLEST_P = 0.0001
P_DIGITS = ((2, 0.1), (3, 0.01))
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def number(value: float, decimals: int) -> str:
    """A figure with its decimals, a true minus sign and no negative zero."""
    text = f"{value:.{decimals}f}"
    digits = text.lstrip("-")
    return digits if not digits.strip("0.") or not text.startswith("-") else MINUS + digits


def signed(value: float, decimals: int) -> str:
    """A difference with its sign; none on zero."""
    text = number(value, decimals)
    return f"+{text}" if text.strip("0.") and not text.startswith(MINUS) else text


def interval(low: float, high: float, decimals: int) -> str:
    """Both ends: ``5.1 to 13.2``."""
    return f"{number(low, decimals)} to {number(high, decimals)}"


def with_unit(text: str, unit: str) -> str:
    """A figure and its unit, kept together."""
    return f"{text}{NO_BREAK_SPACE}{unit}"


def difference_unit(unit: str) -> str:
    """The unit of a difference: percentages differ by points."""
    return "points" if unit == "%" else unit


def typed(value: float) -> str:
    """A figure as stated, with the digits it has."""
    return f"{value:.10g}".replace("-", MINUS)


def three_digits(value: float) -> str:
    """A converted figure, to three significant digits and never with an exponent."""
    whole_digits = len(f"{abs(value):.0f}")
    if whole_digits >= len("100"):
        return typed(float(f"{value:.0f}"))
    return typed(float(f"{value:.3g}"))


def count(how_many: int, singular: str, plural: str = "") -> str:
    """``1 run``, ``3 runs``."""
    noun = singular if how_many == 1 else plural or f"{singular}s"
    return f"{how_many}{NO_BREAK_SPACE}{noun}"


def listing(names: Sequence[str]) -> str:
    """``A``, ``A and B``, ``A, B and C``."""
    return "".join(names) if len(names) <= 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def percent(share: float) -> str:
    """``95 %`` or ``99.5 %``."""
    return with_unit(f"{100 * share:.10g}", "%")


def p_value(p: float) -> str:
    """``p 0.028``, ``p 1.00`` or ``p under 0.0001``; never rounded to nothing."""
    if p < SMALLEST_P:
        return f"p under {SMALLEST_P:.4f}"
    digits = next((digits for digits, from_ in P_DIGITS if p >= from_), 4)
    return f"p {p:.{digits}f}"


def places(best: int, worst: int) -> str:
    """``place 4`` or ``places 4 to 9``."""
    return f"place {best}" if best == worst else f"places {best} to {worst}"


def money(amount: float, currency: str) -> str:
    """``EUR 1,249`` or ``EUR 89.90``."""
    text = f"{amount:,.2f}".removesuffix(".00")
    return f"{currency}{NO_BREAK_SPACE}{text}"


def day(when: date) -> str:
    """``2 March 2025``."""
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}"
