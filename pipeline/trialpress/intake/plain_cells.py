"""Cells that are surely in order, so that the data package library need not be asked.

In:  a column as its Table Schema describes it.
Out: a function from a cell's text to its value, or ``UNSURE``: then the library decides.

Loading the library and its schemas takes longer than checking a whole bench. Nothing is refused
here, and what is accepted is what the library accepts, with the same value.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any, Final

UNSURE: Final = object()
Reader = Callable[[str | None], object]
_WORDS = {"name", "title", "description", "unit", "blankUntilRun"}
_KNOWN = _WORDS | {"type", "constraints", "trueValues", "falseValues"}
"""What is understood of a column; one that has anything else is left to the library."""
_LIMITS = {"required", "enum", "pattern", "maxLength", "minimum", "maximum"}
_INTEGER = re.compile(r"-?[0-9]{1,15}")
_NUMBER = re.compile(r"-?[0-9]{1,15}(\.[0-9]{1,15})?")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def plain_reader(column: Mapping[str, Any]) -> Reader:
    """Read the cells of one column that are plainly written and within its limits.

    Parameters
    ----------
    column : mapping
        A field of a Table Schema, with its ``type`` and ``constraints``.
    """
    limits: Mapping[str, Any] = column.get("constraints", {})
    is_understood = column.keys() <= _KNOWN and limits.keys() <= _LIMITS
    if column["type"] not in _VALUES or not is_understood:
        return lambda _: UNSURE
    value_of, is_within = _VALUES[column["type"]](column), _limit(column["type"], limits)

    def read(text: str | None) -> object:
        if text is None and not limits.get("required"):
            return None
        value = value_of(text) if text else UNSURE
        return value if value is not UNSURE and is_within(value) else UNSURE

    return read


def _integer(text: str) -> object:
    return int(text) if _INTEGER.fullmatch(text) else UNSURE


def _number(text: str) -> object:
    return Decimal(text) if _NUMBER.fullmatch(text) else UNSURE


def _date(text: str) -> object:
    try:
        return date.fromisoformat(text) if _DATE.fullmatch(text) else UNSURE
    except ValueError:
        return UNSURE


def _boolean(column: Mapping[str, Any]) -> Callable[[str], object]:
    truths = dict.fromkeys(column.get("trueValues", ()), True)
    truths |= dict.fromkeys(column.get("falseValues", ()), False)
    return lambda text: truths.get(text, UNSURE)


_VALUES: Mapping[str, Callable[[Mapping[str, Any]], Callable[[str], object]]] = {
    "string": lambda _: lambda text: text,
    "integer": lambda _: _integer,
    "number": lambda _: _number,
    "date": lambda _: _date,
    "boolean": _boolean,
}
"""By type: what reads the cells of a column."""


def _limit(kind: str, limits: Mapping[str, Any]) -> Callable[[Any], bool]:
    """Whether a value is within the limits of its column."""
    if kind == "string":
        pattern, longest = re.compile(limits.get("pattern", ".*")), limits.get("maxLength")
        allowed = limits.get("enum")
        return lambda text: (
            (longest is None or len(text) <= longest)
            and (allowed is None or text in allowed)
            and pattern.fullmatch(text) is not None
        )
    bound = {"date": date.fromisoformat}.get(kind, Decimal)
    least, most = (
        bound(str(limits[name])) if name in limits else None for name in ("minimum", "maximum")
    )
    return lambda value: (
        "enum" not in limits
        and (least is None or value >= least)
        and (most is None or value <= most)
    )
