"""Rows appended to a CSV file so that a power cut loses none.

In:  a file of a table, or the place for one, and rows as text.
Out: the file with the rows after those it had, in its own dialect, every other byte as it was.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from trialpress.bench import TABLES
from trialpress.desk.replacing import NotKeptError, replace_unchanged
from trialpress.errors import FaultyDataError, OutsideWorldError
from trialpress.intake import read_schema
from trialpress.intake.dialect import (
    delimiter_of,
    file_row,
    forms_of,
    house_name,
    house_row,
    named_width,
    without_tail,
)
from trialpress.intake.spelling import Doubt, NumberForms
from trialpress.intake.textfile import split_records

BYTE_ORDER_MARK = "\ufeff"
MOST_TRIES = 10
_NEEDS_QUOTES = re.compile(r'["\r\n]')
_LINE_END = re.compile(r"\r\n|\r|\n")


class UnreadableTableError(FaultyDataError):
    """A row cannot be put into a file that is no table."""

    def __init__(self, file: Path, reason: str) -> None:
        super().__init__(f"{file} cannot be added to: {reason}. Run trialpress check, and mend it.")


class ChangingFileError(OutsideWorldError):
    """Another program saves a file again and again."""

    def __init__(self, file: Path) -> None:
        super().__init__(
            f"{file} was saved by another program each time it was about to be written, so nothing "
            "was. Close that program, then do the same again."
        )


class NoSuchColumnError(FaultyDataError):
    """A file lacks the column that a value belongs to."""

    def __init__(self, file: Path, column: str, value: str) -> None:
        super().__init__(
            f"{file} has no column {column}, so {value} cannot be written. "
            f"Add {column} to the end of its header row, then do the same again."
        )


@dataclass(frozen=True)
class TableText:
    """A CSV file as text: the exact text of each record, its cells, and its dialect.

    ``width`` leaves out columns at the right without a name and a cell, ``end`` the records at the
    end without one: what a spreadsheet adds.
    """

    file: Path
    texts: tuple[str, ...]
    records: tuple[tuple[str, ...], ...]
    delimiter: str

    @property
    def table(self) -> str:
        """The table that a file of this name holds."""
        return self.file.stem

    @property
    def data(self) -> bytes:
        """The bytes of the file."""
        return "".join(self.texts).encode()

    @cached_property
    def width(self) -> int:
        """How many columns there are."""
        return named_width(self.records[0], self.records[1:])

    @cached_property
    def end(self) -> int:
        """How many records there are, with the header."""
        return without_tail(self.records[1:]) + 1

    @cached_property
    def columns(self) -> tuple[str, ...]:
        """The header."""
        return tuple(house_name(name) for name in self.records[0][: self.width])

    @cached_property
    def forms(self) -> NumberForms:
        """How it writes numbers."""
        return forms_of(self.table, self.columns, self.records[1:], self.delimiter)

    @property
    def line_end(self) -> str:
        """What the header row ends with."""
        found = _LINE_END.search(self.texts[0][-2:])
        return found.group() if found else "\n"

    def house_row(self, i: int) -> dict[str, str | Doubt]:
        """The cells of a record by column, in the bench's form."""
        row = dict(zip(self.columns, self.records[i], strict=False))
        return {
            column: cell or "" for column, cell in house_row(self.table, row, self.forms).items()
        }

    def row_text(self, cells: Mapping[str, str]) -> str:
        """One row in the order of the file's columns, as this file would have it.

        Raises
        ------
        NoSuchColumnError
            If a cell that is not blank has no column in this file.
        """
        for column, value in cells.items():
            if value and column not in self.columns:
                raise NoSuchColumnError(self.file, column, value)
        typed = file_row(self.table, cells, self.forms)
        full = [*(typed.get(column, "") for column in self.columns)]
        full += [""] * (len(self.records[0]) - self.width)
        return record_text(full, self.line_end, self.delimiter)

    def changed_text(self, i: int, cells: Mapping[str, str]) -> str:
        """The exact text of a record with some cells changed; every other byte of it stays.

        Raises
        ------
        NoSuchColumnError
            If a cell that is not blank has no column in this file.
        """
        exact = self.texts[i]
        body = exact.rstrip("\r\n") if exact.endswith(("\n", "\r")) else exact
        parts = cell_texts(body, self.delimiter)
        for column, text in file_row(self.table, cells, self.forms).items():
            if column in self.columns:
                at = self.columns.index(column)
                parts += [""] * (at + 1 - len(parts))
                parts[at] = _quoted(text, self.delimiter)
            elif text:
                raise NoSuchColumnError(self.file, column, text)
        return self.delimiter.join(parts) + exact[len(body) :]


def append_rows(file: Path, columns: Sequence[str], rows: Sequence[Mapping[str, str]]) -> None:
    """Append rows to a table's file; where there is none, start it.

    Parameters
    ----------
    file : Path
        The file.
    columns : sequence of str
        The header of a file that is started here; one that is there keeps its own.
    rows : sequence of mapping of column to text
        What is left out stays blank.

    Raises
    ------
    NotKeptError
        If the disk refuses; the file is as it was.
    NoSuchColumnError, UnreadableTableError
        If the file is there but has no place for the rows.
    ChangingFileError
        If another program saves it all the time.

    Notes
    -----
    Others who append are kept out by ``lock.locked``, which the caller holds.
    """
    for _ in range(MOST_TRIES):
        there = read_table_text(file)
        table = there or started(file, columns)
        new = joined(table.texts, [table.row_text(row) for row in rows], table)
        if replace_unchanged(file, there.data if there else None, new):
            return
    raise ChangingFileError(file)


def read_table_text(file: Path) -> TableText | None:
    """Read a file into its records; None where it is not there.

    Raises
    ------
    UnreadableTableError
        If it is not UTF-8, is empty, or its quotes do not add up.
    """
    try:
        text = file.read_bytes().decode("utf-8")
    except FileNotFoundError:
        return None
    except UnicodeDecodeError:
        raise UnreadableTableError(file, "it is not UTF-8") from None
    except OSError as error:
        raise NotKeptError(file, error) from error
    # The mark belongs to the bytes, which are kept, and not to the name of the first column.
    mark = BYTE_ORDER_MARK if text.startswith(BYTE_ORDER_MARK) else ""
    text = text.removeprefix(mark)
    delimiter = delimiter_of(text, _columns_of(file))
    texts, records = list[str](), list[tuple[str, ...]]()
    try:
        for exact, cells in split_records(text, delimiter=delimiter, strict=True):
            texts.append(exact if records else mark + exact)
            records.append(tuple(cells))
    except csv.Error:
        raise UnreadableTableError(file, f"the quotes of row {len(records) + 1} are odd") from None
    if not records:
        raise UnreadableTableError(file, "it has no header row")
    return TableText(file, tuple(texts), tuple(records), delimiter)


def _columns_of(file: Path) -> tuple[str, ...]:
    return read_schema(file.stem).columns if file.stem in TABLES else ()


def started(file: Path, columns: Sequence[str]) -> TableText:
    """A table with only its header."""
    return TableText(file, (record_text(columns, "\n"),), (tuple(columns),), ",")


def joined(texts: Sequence[str], added: Sequence[str], table: TableText) -> bytes:
    """The bytes of a file: its records, then new ones, the last old line ended where it was not.

    Blank rows at its end give way: between others they would be a fault.
    """
    body = "".join(texts[: table.end] if added else texts)
    is_ended = body.endswith(("\n", "\r"))
    return (body + ("" if is_ended or not added else table.line_end) + "".join(added)).encode()


def record_text(cells: Sequence[str], line_end: str, delimiter: str = ",") -> str:
    """One record of CSV; quotes only where they are needed."""
    if list(cells) == [""]:
        return f'""{line_end}'  # an empty line would be no record
    return delimiter.join(_quoted(cell, delimiter) for cell in cells) + line_end


def cell_texts(record: str, delimiter: str) -> list[str]:
    """The cells of a record without its line end, each exactly as it stands there, quotes and all.

    The record's quotes add up, as those of ``read_table_text`` do.
    """
    end = re.compile(rf'("(?:[^"]|"")*"|[^{re.escape(delimiter)}]*)({re.escape(delimiter)}|\Z)')
    parts, at = list[str](), 0
    while match := end.match(record, at):
        parts.append(match[1])
        if not match[2]:
            break
        at = match.end()
    return parts


def _quoted(cell: str, delimiter: str) -> str:
    """A cell as it stands in a file; the csv module would leave a lone carriage return bare."""
    is_bare = delimiter not in cell and not _NEEDS_QUOTES.search(cell)
    return cell if is_bare else '"{}"'.format(cell.replace('"', '""'))
