"""What the cells of a workbook show beside what they hold: digits, percent, colours, comments.

In:  the bytes of an xlsx workbook.
Out: each number as its cell shows it; the marks that people make on cells; cells that are merged.
"""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

from trialpress.desk.adopt.limits import BEYOND, NotUnderstoodError

if TYPE_CHECKING:
    from openpyxl.cell.cell import Cell
    from openpyxl.worksheet.worksheet import Worksheet

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
    """Number formats by sheet, row and column, marks by sheet, and where merged cells begin."""

    numbers: Mapping[Place, str] = field(default_factory=dict)
    marks: Mapping[str, tuple[Mark, ...]] = field(default_factory=dict)
    merged: Mapping[Place, Place] = field(default_factory=dict)

    def shown(self, text: str, place: Place) -> str:
        """A number as its cell shows it, never with fewer digits than it has."""
        form = _QUOTED.sub("", self.numbers.get(place, ""))
        if "%" in form:
            share = f"{(Decimal(text) * 100).normalize():f}"
            shown = form.partition(".")[2].count("0")
            return f"{_with_zeros(share, shown)} %"
        fixed = _FIXED.fullmatch(self.numbers.get(place, ""))
        return text if fixed is None else _with_zeros(text, len(fixed[1]))


def _with_zeros(text: str, digits: int) -> str:
    """A number with at least so many digits behind the point; it never loses one."""
    return text if len(text.partition(".")[2]) >= digits else f"{Decimal(text):.{digits}f}"


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
    merged: dict[Place, Place] = {}
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
                merged |= _merged_in(sheet)
        except (OSError, ValueError, KeyError, TypeError, zipfile.BadZipFile):
            return Formats()
    return Formats(numbers, marks, merged)


def _merged_in(sheet: Worksheet) -> dict[Place, Place]:
    """For each cell that a merged one covers, the cell that has its text."""
    return {
        (sheet.title, row, column): (sheet.title, area.min_row, area.min_col)
        for area in sheet.merged_cells.ranges
        for row in range(area.min_row, min(area.max_row, sheet.max_row) + 1)
        for column in range(area.min_col, min(area.max_col, sheet.max_column) + 1)
        if (row, column) != (area.min_row, area.min_col)
    }


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
