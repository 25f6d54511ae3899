"""Wording what a cell's type or constraint refuses.

In:  the note the data package library makes about a cell.
Out: the finding for it.
"""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation

from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.schemas import Field

_NOTE = re.compile(r'constraint "(?P<name>\w+)" is "(?P<bound>.*)"')
_CODES = {
    "required": FindingCode.CELL_BLANK,
    "enum": FindingCode.CELL_NOT_ALLOWED,
    "pattern": FindingCode.CELL_PATTERN,
    "minimum": FindingCode.CELL_RANGE,
    "maximum": FindingCode.CELL_RANGE,
    "maxLength": FindingCode.CELL_LENGTH,
}
_BY_PATTERN = {"at": "at", "website": "website"}


def broken_constraint(note: str, field: Field, text: str | None, place: Place) -> Finding:
    """Turn one note about one cell into a finding.

    Parameters
    ----------
    note : str
        ``type is "…"`` or ``constraint "…" is "…"``, as the library words it.
    field : Field
        The column.
    text : str or None
        The cell as typed.
    place : Place
        Where the cell is.
    """
    match = _NOTE.fullmatch(note)
    if match is None:
        return found(FindingCode.CELL_TYPE, place, text, variant=field.type)
    name = match["name"]
    variant = {"pattern": _BY_PATTERN.get(field.name, ""), "maximum": "maximum"}.get(name, "")
    return found(
        _CODES[name],
        place,
        text,
        variant=variant,
        bound=_plain(match["bound"]),
        allowed=", ".join(field.allowed),
        length=str(len(text or "")),
        meaning=field.meaning,
    )


def _plain(bound: str) -> str:
    """A bound without the exponent that very small numbers are printed with."""
    try:
        return f"{Decimal(bound):f}"
    except InvalidOperation:
        return bound
