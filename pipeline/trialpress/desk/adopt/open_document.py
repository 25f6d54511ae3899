"""What the cells of an OpenDocument spreadsheet show beside what they hold.

In:  the bytes of an ods workbook, within ``limits``: this is called nowhere else.
Out: comments, colours and what is struck out, cell by cell; cells that are merged.

Source: OpenDocument 1.3, part 3: 9.1 (tables, repeated and spanned cells), 14.1 (annotations), 16.2
and 20 (automatic styles and their properties).
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from xml.etree import ElementTree as ET

from trialpress.desk.adopt.formats import Formats, Mark, Place
from trialpress.desk.adopt.limits import NotUnderstoodError

_NAMES = "urn:oasis:names:tc:opendocument:xmlns"
_TABLE, _TEXT = f"{{{_NAMES}:table:1.0}}", f"{{{_NAMES}:text:1.0}}"
_OFFICE = f"{{{_NAMES}:office:1.0}}"
_STYLE, _FO = f"{{{_NAMES}:style:1.0}}", f"{{{_NAMES}:xsl-fo-compatible:1.0}}"
_BARE = {"", "transparent", "#ffffff"}
_BLACK = {"", "#000000"}
_UNSTRUCK = {"", "none"}
MOST_LETTERS = 26
MOST_COVERED = 100_000


def read_open_document(data: bytes) -> Formats:
    """Read how cells look; a repeated one is told once.

    Raises
    ------
    NotUnderstoodError
        If it is no such workbook.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive, archive.open("content.xml") as content:
            root = ET.parse(content).getroot()  # noqa: S314  as above
    except (zipfile.BadZipFile, KeyError, OSError, ET.ParseError) as error:
        raise NotUnderstoodError(str(error)) from error
    styles = {
        str(style.get(f"{_STYLE}name")): tuple(_looks(style))
        for style in root.iter(f"{_STYLE}style")
    }
    marks, merged = dict[str, tuple[Mark, ...]](), dict[Place, Place]()
    for table in root.iter(f"{_TABLE}table"):
        name = str(table.get(f"{_TABLE}name"))
        cells = [*_cells(table)]
        marks[name] = tuple(mark for found in cells for mark in _marks(*found, styles))
        for row, column, cell in cells:
            merged |= _covered(name, row, column, cell)
    return Formats(marks=marks, merged=merged)


def _cells(table: ET.Element) -> Iterator[tuple[int, int, ET.Element]]:
    """Every cell element with the row and column of the first cell that it stands for."""
    row = 1
    for line in table.iter(f"{_TABLE}table-row"):
        column = 1
        for cell in line:
            if cell.tag in {f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell"}:
                yield row, column, cell
                column += _count(cell, "number-columns-repeated")
        row += _count(line, "number-rows-repeated")


def _count(element: ET.Element, name: str) -> int:
    text = element.get(f"{_TABLE}{name}", "1")
    return int(text) if text.isdecimal() else 1


def _marks(
    row: int, column: int, cell: ET.Element, styles: dict[str, tuple[tuple[bool, str], ...]]
) -> Iterator[Mark]:
    place = f"{_letters(column)}{row}"
    note = cell.find(f"{_OFFICE}annotation")
    if note is not None:
        words = " ".join(" ".join(part.itertext()) for part in note.iter(f"{_TEXT}p"))
        yield Mark(row, place, f"has the comment “{' '.join(words.split())}”")
    has_text = cell.find(f"{_TEXT}p") is not None
    for needs_text, words in styles.get(cell.get(f"{_TABLE}style-name", ""), ()):
        if has_text or not needs_text:
            yield Mark(row, place, words)


def _looks(style: ET.Element) -> Iterator[tuple[bool, str]]:
    """What a style does to a cell, in words, and whether that shows in a cell with text alone."""
    if style.get(f"{_STYLE}family") != "table-cell":
        return
    cell = style.find(f"{_STYLE}table-cell-properties")
    text = style.find(f"{_STYLE}text-properties")
    fill = cell.get(f"{_FO}background-color", "") if cell is not None else ""
    ink = text.get(f"{_FO}color", "") if text is not None else ""
    line = text.get(f"{_STYLE}text-line-through-style", "") if text is not None else ""
    if fill.lower() not in _BARE:
        yield False, f"is coloured ({fill.upper()})"
    if ink.lower() not in _BLACK:
        yield True, f"has coloured letters ({ink.upper()})"
    if line not in _UNSTRUCK:
        yield True, "is struck out"


def _covered(name: str, row: int, column: int, cell: ET.Element) -> dict[Place, Place]:
    """The cells that a merged one covers; a range of more than a sheet of results has is none."""
    down, across = _count(cell, "number-rows-spanned"), _count(cell, "number-columns-spanned")
    if down * across > MOST_COVERED:
        return {}
    return {
        (name, row + i, column + j): (name, row, column)
        for i in range(down)
        for j in range(across)
        if (i, j) != (0, 0)
    }


def _letters(column: int) -> str:
    """A column as a spreadsheet names it: 1 is A, 27 is AA."""
    text = ""
    while column:
        column, letter = divmod(column - 1, MOST_LETTERS)
        text = chr(ord("A") + letter) + text
    return text
