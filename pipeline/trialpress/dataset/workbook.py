"""The small tables in one workbook, for those who work with spreadsheets.

In:  the published tables of the store.
Out: an XLSX file with a sheet a table, of every table that a sheet shows at ease. A text stays a
     text: none can run as a formula.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import duckdb

from trialpress.dataset.archive import packed
from trialpress.dataset.table_files import Cell, typed_rows
from trialpress.dataset.tables import PublishedTable
from trialpress.paths import write_below

WORKBOOK_FILE = "small-tables.xlsx"
MOST_ROWS = 400  # what somebody looks at; larger tables are in the other formats
LONGEST_TEXT = 32_767  # a longer one would be cut off, as the format has no room for it
_CORE = "docProps/core.xml"
_SAVED_AT = re.compile(rb"(<dcterms:(created|modified)[^>]*>)[^<]*")


def write_workbook(
    connection: duckdb.DuckDBPyConnection, tables: Iterable[PublishedTable], folder: Path
) -> None:
    """Write the workbook of the small ones of ``tables`` into ``folder``."""
    from openpyxl import Workbook  # noqa: PLC0415  imports slowly

    book = Workbook(write_only=True)
    for table in tables:
        cells = connection.execute(typed_rows(table)).fetchmany(MOST_ROWS + 1)
        if len(cells) <= MOST_ROWS and _fits(cells):
            _write_sheet(book, table, cells)
    with io.BytesIO() as stream:
        book.save(stream)
        write_below(folder, WORKBOOK_FILE, _timeless(stream))


def _fits(rows: Iterable[Sequence[Cell]]) -> bool:
    return not any(isinstance(c, str) and len(c) > LONGEST_TEXT for row in rows for c in row)


def _write_sheet(book: Any, table: PublishedTable, rows: Sequence[Sequence[Cell]]) -> None:  # noqa: ANN401
    sheet = book.create_sheet(table.name)
    sheet.freeze_panes = "A2"
    sheet.append([column.name for column in table.columns])
    for row in rows:
        sheet.append(list(_cells(sheet, row)))


def _cells(sheet: Any, row: Sequence[Cell]) -> Iterator[object]:  # noqa: ANN401
    from openpyxl.cell import WriteOnlyCell  # noqa: PLC0415

    for cell in row:
        if isinstance(cell, str) and cell.startswith("="):
            text = WriteOnlyCell(sheet, cell)
            text.data_type = "s"
            yield text
        else:
            yield cell


def _timeless(stream: io.BytesIO) -> bytes:
    """The same workbook without the time at which it was saved."""
    with ZipFile(stream) as book:
        parts = {name: book.read(name) for name in book.namelist()}
    first = datetime(1980, 1, 1, tzinfo=UTC).strftime("%Y-%m-%dT%H:%M:%SZ").encode()
    parts[_CORE] = _SAVED_AT.sub(rb"\g<1>" + first, parts[_CORE])
    return packed(parts)
