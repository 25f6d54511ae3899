"""The tables whose rows are typed in forms, and the rows that stand in them.

In:  a bench, whose files may be missing or have faults.
Out: where each table's file lies; its rows as ``check`` reads them; the method texts.

Short: forms, terminal and verdict ask it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from trialpress.bench import CATALOGUE_TABLES, FILM_TABLES, Bench
from trialpress.desk.append import TableText, UnreadableTableError, read_table_text, started
from trialpress.desk.replacing import NotKeptError
from trialpress.intake import read_schema
from trialpress.intake.spelling import Doubt
from trialpress.paths import place_below

ENTERED = (*CATALOGUE_TABLES, *FILM_TABLES)


@dataclass(frozen=True)
class TypedRow:
    """A row as it stands, in the bench's form; ``number`` is that of a spreadsheet."""

    table: str
    number: int
    cells: Mapping[str, str]

    @property
    def key(self) -> tuple[str, ...]:
        """The text of the key columns."""
        return tuple(self.cells.get(column, "") for column in read_schema(self.table).key)


def file_of(bench: Bench, table: str) -> Path:
    """The file of a table.

    Raises
    ------
    OutsideFolderError
        If a link leads out of the bench.
    """
    folder = bench.data if table in FILM_TABLES else bench.catalogue
    return place_below(folder, f"{table}.csv")


def method_file(bench: Bench, protocol: str) -> Path:
    """Where a protocol's text stands, or would."""
    return place_below(bench.catalogue / "methods", f"{protocol}.md")


def method_of(bench: Bench, protocol: str) -> str | None:
    """The text of a protocol, with the line ends it has; None where there is none.

    Raises
    ------
    UnreadableTableError
        If it is not UTF-8.
    """
    file = method_file(bench, protocol)
    try:
        return file.read_bytes().decode("utf-8")
    except FileNotFoundError:
        return None
    except UnicodeDecodeError:
        raise UnreadableTableError(file, "it is not UTF-8") from None
    except OSError as error:
        raise NotKeptError(file, error) from error


def table_text(bench: Bench, table: str) -> TableText:
    """The file of a table; of one that is not there, its header alone."""
    file = file_of(bench, table)
    return read_table_text(file) or started(file, read_schema(table).columns)


def rows_of(text: TableText) -> tuple[TypedRow, ...]:
    """The rows of a file; what can be read in two ways stays as typed."""
    return tuple(
        TypedRow(text.table, i + 1, cells)
        for i in range(1, text.end)
        for cells in [_known(text.house_row(i), text.table)]
        if cells
    )


def _known(row: Mapping[str, str | Doubt], table: str) -> dict[str, str]:
    """The cells that are not blank, of columns that the table has."""
    texts = {c: cell.text if isinstance(cell, Doubt) else cell for c, cell in row.items()}
    return {c: texts[c] for c in read_schema(table).columns if texts.get(c)}
