"""What a spreadsheet writes in a cell, in the one form the bench has for it.

In:  a cell as typed, its column, and how its file writes numbers.
Out: the same in the bench's form, every digit kept; a ``Doubt`` where it can be read in two ways;
     the text as it is where it says nothing that the column could hold.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, time

from trialpress.intake.schemas import Field

SPACES = " \t\r\n\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a"
SPACES += "\u202f\u205f\u3000"
"""What is taken off both ends of a cell; characters that cannot be seen at all are findings."""
_TRUTHS = {
    **dict.fromkeys(("true", "wahr", "vrai", "verdadero", "vero", "verdadeiro", "waar"), "true"),
    **dict.fromkeys(("false", "falsch", "faux", "falso", "onwaar"), "false"),
}
"""What spreadsheets write for true and false in some languages. *From memory.*"""
_EXPONENT = r"([eE][-+]?[0-9]{1,3})?"
_COMMA = re.compile(rf"-?[0-9]+,[0-9]+{_EXPONENT}")
_POINT = re.compile(rf"-?[0-9]+\.[0-9]+{_EXPONENT}")
_PERHAPS_THOUSANDS = re.compile(r"-?[1-9][0-9]{0,2}[.,][0-9]{3}")
_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_ISO_MINUTE = re.compile(rf"{_ISO.pattern}T[0-9]{{2}}:[0-9]{{2}}")
_YEAR_FIRST = re.compile(r"([0-9]{4})([-/.])([0-9]{1,2})\2([0-9]{1,2})")
_YEAR_LAST = re.compile(r"([0-9]{1,2})([-/.])([0-9]{1,2})\2([0-9]{4})")
_WITH_TIME = re.compile(r"(\S+)(?:T| +)([0-9]{1,2}):([0-9]{2})(:[0-9]{2})?")


@dataclass(frozen=True)
class Doubt:
    """A cell that can be read in two ways, and both of them in the bench's form."""

    text: str
    one: str
    other: str

    @property
    def is_date(self) -> bool:
        """Whether the order of day and month is in doubt, not the mark in a number."""
        return _ISO.match(self.one.rpartition("|")[2]) is not None


@dataclass(frozen=True)
class NumberForms:
    """How the numbers of one file are written, as far as they show it.

    A number with three digits after its only mark shows nothing by itself: the mark may be there
    for thousands. One that can have decimals alone, such as 12,30, is sure of its mark.
    """

    delimiter: str = ","
    has_commas: bool = False
    has_points: bool = False
    is_sure_of_commas: bool = False
    is_sure_of_points: bool = False

    @property
    def has_decimal_commas(self) -> bool:
        """Whether each comma stands before decimals; spreadsheets that mean it so write ``;``."""
        return not self.has_points and (self.delimiter == ";" or self.is_sure_of_commas)


def number_forms(texts: Iterable[str], delimiter: str) -> NumberForms:
    """Look at all cells of a file that are to hold numbers."""
    numbers = {text.strip(SPACES) for text in texts}
    commas = {text for text in numbers if _COMMA.fullmatch(text)}
    points = {text for text in numbers if _POINT.fullmatch(text)}
    return NumberForms(
        delimiter,
        bool(commas),
        bool(points),
        any(not _PERHAPS_THOUSANDS.fullmatch(text) for text in commas),
        any(not _PERHAPS_THOUSANDS.fullmatch(text) for text in points),
    )


def house_form(text: str, field: Field, forms: NumberForms) -> str | Doubt:
    """Read one cell as a person would who knows its column.

    Parameters
    ----------
    text : str
        The cell as typed; blank comes back for one of spaces.
    field : Field
        Its column.
    forms : NumberForms
        How its file writes numbers.

    Returns
    -------
    str or Doubt
        The bench's form of it, or both where there are two; what is understood in no way comes
        back without spaces around it, for others to find fault with.
    """
    text = text.strip(SPACES)
    if field.type == "number":
        return _number(text, forms)
    if field.type == "date":
        return _day(text)
    if field.name == "at":
        return _moment(text)
    if field.type == "boolean":
        return _TRUTHS.get(text.lower(), text)
    return next((word for word in field.allowed if word == text.lower()), text)


def spreadsheet_form(text: str, field: Field | None, forms: NumberForms) -> str:
    """A cell in the bench's form as its file has it; only the mark before decimals may differ."""
    if field is None or field.type != "number" or not forms.has_decimal_commas:
        return text
    return text.replace(".", ",") if _POINT.fullmatch(text) else text


def _number(text: str, forms: NumberForms) -> str | Doubt:
    is_comma = _COMMA.fullmatch(text) is not None
    if not is_comma and not forms.has_commas:
        return text
    point = text.replace(",", ".")
    is_doubtful = _PERHAPS_THOUSANDS.fullmatch(text) and not (
        forms.has_decimal_commas if is_comma else forms.is_sure_of_points
    )
    if is_doubtful:
        return Doubt(text, point, point.replace(".", ""))
    return point if is_comma else text


def _moment(text: str) -> str | Doubt:
    """A date, or a date and a time."""
    match = None if _ISO_MINUTE.match(text) else _WITH_TIME.fullmatch(text)
    if match is None:
        return _day(text)
    clock = f"{int(match[2]):02}:{match[3]}{match[4] or ''}"
    day = _day(match[1])
    if isinstance(day, Doubt):
        return Doubt(text, f"{day.one}T{clock}", f"{day.other}T{clock}")
    return f"{day}T{clock}" if _ISO.fullmatch(day) and _is_time(clock) else text


def _day(text: str) -> str | Doubt:
    """A date; points stand between day, month and year everywhere, strokes in either order."""
    if match := _YEAR_FIRST.fullmatch(text):
        days = [_iso(match[1], match[3], match[4])]
    elif match := _YEAR_LAST.fullmatch(text):
        days = [_iso(match[4], match[3], match[1])]
        days += [] if match[2] == "." else [_iso(match[4], match[1], match[3])]
    else:
        return text
    real = sorted({day for day in days if day is not None})
    return Doubt(text, *real) if len(real) > 1 else real[0] if real else text


def _iso(year: str, month: str, day: str) -> str | None:
    try:
        return date(int(year), int(month), int(day)).isoformat()
    except ValueError:
        return None


def _is_time(text: str) -> bool:
    try:
        time.fromisoformat(text)
    except ValueError:
        return False
    return True
