"""What the cells of a workbook show beside what they hold: digits, percent, colours, comments.

In:  the bytes of an xlsx workbook.
Out: each number as its cell shows it; the marks that people make on cells.
"""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from trialpress.desk.adopt.limits import BEYOND, NotUnderstoodError

if TYPE_CHECKING:
    from openpyxl.cell.cell import Cell

_FIXED = re.compile(r"[#0,]*0\.(0+)(?:_.)?(?:;.*)?")
_QUOTED = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]')
_PLAIN_FILLS = {"00000000", "FFFFFFFF", "00FFFFFF"}
_PLAIN_LETTERS = {"00000000", "FF000000"}


MOST_CELLS = 2_000_000
"""Of a sheet from its first cell to its last; every one of them is looked at."""


@dataclass(frozen=True)
class Mark:
    """Something a cell has besides its text; ``words`` say what."""

    row: int
    cell: str
    words: str


Place = tuple[str, int, int]


@dataclass(frozen=True)
class Formats:
    """Number formats by sheet, row and column, and marks by sheet."""

    numbers: Mapping[Place, str]
    marks: Mapping[str, tuple[Mark, ...]]

    def shown(self, text: str, place: Place) -> str:
        """A number as its cell shows it, never with fewer digits than it has."""
        form = _QUOTED.sub("", self.numbers.get(place, ""))
        if "%" in form:
            return f"{(Decimal(text) * 100).normalize():f} %"
        fixed = _FIXED.fullmatch(self.numbers.get(place, ""))
        if fixed is None or len(text.partition(".")[2]) >= len(fixed[1]):
            return text
        return f"{Decimal(text):.{len(fixed[1])}f}"


def read_formats(data: bytes) -> Formats:
    """Read how cells look; nothing where the workbook has faults there.

    Raises
    ------
    NotUnderstoodError
        If a sheet reaches too far.
    """
    from openpyxl import load_workbook  # noqa: PLC0415  only workbooks need it

    numbers: dict[Place, str] = {}
    marks: dict[str, tuple[Mark, ...]] = {}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of parts of a workbook that are of no matter here
        try:
            book = load_workbook(io.BytesIO(data), data_only=True)
            for sheet in book.worksheets:
                if sheet.max_row * sheet.max_column > MOST_CELLS:
                    raise NotUnderstoodError(BEYOND)
                cells = [cell for row in sheet.iter_rows() for cell in row]
                numbers |= {
                    (sheet.title, cell.row, cell.column): cell.number_format
                    for cell in cells
                    if isinstance(cell.value, int | float) and not isinstance(cell.value, bool)
                }
                marks[sheet.title] = tuple(mark for cell in cells for mark in _marks_of(cell))
        except (OSError, ValueError, KeyError, TypeError, zipfile.BadZipFile):
            return Formats({}, {})
    return Formats(numbers, marks)


def _marks_of(cell: Cell) -> Iterator[Mark]:
    """The comment of a cell, its colours, and whether it is struck out."""
    if getattr(cell, "comment", None) is not None:
        text = " ".join(cell.comment.text.split())
        yield Mark(cell.row, cell.coordinate, f"has the comment “{text}”")
    if not cell.has_style:
        return
    if cell.fill.fill_type and (fill := _colour(cell.fill.fgColor, _PLAIN_FILLS)):
        yield Mark(cell.row, cell.coordinate, f"is coloured ({fill})")
    if (
        cell.value is not None
        and cell.font.color
        and (ink := _colour(cell.font.color, _PLAIN_LETTERS))
    ):
        yield Mark(cell.row, cell.coordinate, f"has coloured letters ({ink})")
    if cell.value is not None and cell.font.strike:
        yield Mark(cell.row, cell.coordinate, "is struck out")


def _colour(colour: object, plain: set[str]) -> str | None:
    """A colour in words; None where it is that of a bare sheet."""
    kind, value = getattr(colour, "type", ""), getattr(colour, "value", None)
    if kind == "rgb":
        return None if str(value) in plain else f"#{str(value)[-6:]}"
    if kind == "theme":
        return None if value in {0, 1} else f"colour {value} of the theme"
    return None if value in {8, 9, 64, 65} else f"colour {value} of the palette"
