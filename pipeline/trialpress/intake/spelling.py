"""Other spellings of what a cell says, as spreadsheets write them, put into the house form.

In:  a cell as typed, its column, and whether the file's decimals have a comma.
Out: the same in the house form where it can mean one thing only; anything else as it was, so that
     the checks that follow say what is wrong with it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import datetime

from trialpress.intake.schemas import Field

_DECIMAL_COMMA = re.compile(r"-?[0-9]+,[0-9]+")
_LIKE_THOUSANDS = re.compile(r"-?[1-9][0-9]{0,2}[.,][0-9]{3}")
_DOTTED = re.compile(
    r"(?P<day>[0-9]{1,2})\.(?P<month>[0-9]{1,2})\.(?P<year>[0-9]{4})"
    r"(?:[ T](?P<hour>[0-9]{1,2}):(?P<minute>[0-9]{2})(?::(?P<second>[0-9]{2}))?)?"
)
_SPACED = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2}) ([0-9]{2}:[0-9]{2}(?::[0-9]{2})?)")
_NUMBERS = ("number", "integer")


def house_form(text: str, field: Field, *, has_decimal_commas: bool = False) -> str:
    """One cell in the house form.

    Parameters
    ----------
    text : str
        The cell, not blank.
    field : Field
        Its column.
    has_decimal_commas : bool
        Whether the file's other numbers have decimal commas, as those with semicolons between the
        cells do: 1,234 is a little more than one there, and could be a thousand elsewhere.

    Returns
    -------
    str
        ``TRUE`` as true, ``Valid`` as valid, 12,30 as 12.30 (with the digits that were typed),
        26.11.2026 19:05 as 2026-11-26T19:05.
    """
    if field.type == "boolean" or field.allowed:
        lower = text.lower()
        return lower if lower in (field.allowed or ("true", "false")) else text
    if field.type == "number":
        return _number(text, has_decimal_commas=has_decimal_commas)
    if field.type == "date" or field.name == "at":
        return _date(text, with_time=field.name == "at")
    return text


def is_spelled(field: Field) -> bool:
    """Whether what a column says can be spelled in several ways; text cannot."""
    has_words = field.type == "boolean" or bool(field.allowed)
    return has_words or field.type in (*_NUMBERS, "date") or field.name == "at"


def is_ambiguous(text: str, field: Field) -> bool:
    """Whether a point could be one between thousands, in a file whose decimals have a comma."""
    return field.type in _NUMBERS and "." in text and _LIKE_THOUSANDS.fullmatch(text) is not None


def writes_decimal_commas(cells: Iterable[tuple[str, Field]]) -> bool:
    """Whether any number among the cells has a decimal comma."""
    return any(
        field.type == "number" and _DECIMAL_COMMA.fullmatch(text) is not None
        for text, field in cells
    )


def _number(text: str, *, has_decimal_commas: bool) -> str:
    if not _DECIMAL_COMMA.fullmatch(text):
        return text
    if _LIKE_THOUSANDS.fullmatch(text) and not has_decimal_commas:
        return text
    return text.replace(",", ".")


def _date(text: str, *, with_time: bool) -> str:
    """Points between day, month and year mean that the day comes first."""
    if with_time and (spaced := _SPACED.fullmatch(text)):
        return "T".join(spaced.groups())
    match = _DOTTED.fullmatch(text)
    if match is None or (match["hour"] and not with_time):
        return text
    given = {name: int(part) for name, part in match.groupdict().items() if part is not None}
    try:
        moment = datetime(**given)  # type: ignore[arg-type]  # noqa: DTZ001  bench local time
    except ValueError:
        return text
    if match["hour"] is None:
        return moment.date().isoformat()
    return moment.isoformat(timespec="seconds" if match["second"] else "minutes")
