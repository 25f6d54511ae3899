"""Rows appended to a CSV file so that a power cut loses none.

In:  a file of a table, or the place for one, and rows as text.
Out: the file with the rows after those it had, every other byte as it was. It is written beside
     the old one, flushed to the disk and then put in its place: at any moment one of the two is
     there, whole.
"""

from __future__ import annotations

import csv
import os
import re
import secrets
import stat
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from trialpress.errors import FaultyDataError, OutsideWorldError

BYTE_ORDER_MARK = "\ufeff"
MOST_TRIES = 10
_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
_NEEDS_QUOTES = re.compile(r'[",\r\n]')
_LINE_END = re.compile(r"\r\n|\r|\n")


class NotKeptError(OutsideWorldError):
    """The disk refuses to keep a file."""

    def __init__(self, file: Path, reason: OSError) -> None:
        super().__init__(
            f"{file} cannot be written: {reason.strerror or reason}. It is as it was. "
            "Free some space or mend its permissions, then do the same again."
        )


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
    """A CSV file as text: the exact text of each record, its cells, and how its lines end."""

    file: Path
    texts: tuple[str, ...]
    records: tuple[tuple[str, ...], ...]

    @property
    def columns(self) -> tuple[str, ...]:
        """The header."""
        return tuple(name.lstrip(BYTE_ORDER_MARK) for name in self.records[0])

    @property
    def line_end(self) -> str:
        """What the header row ends with."""
        found = _LINE_END.search(self.texts[0][-2:])
        return found.group() if found else "\n"

    def row_text(self, cells: Mapping[str, str]) -> str:
        """One row in the order of the file's columns.

        Raises
        ------
        NoSuchColumnError
            If a cell that is not blank has no column in this file.
        """
        for column, value in cells.items():
            if value and column not in self.columns:
                raise NoSuchColumnError(self.file, column, value)
        return record_text([cells.get(column, "") for column in self.columns], self.line_end)


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
        if replace_unchanged(file, there, new):
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
    lines = _LINE.findall(text)
    reader = csv.reader(iter(lines), strict=True)
    texts, records, start = [], [], 0
    try:
        for record in reader:
            records.append(tuple(record))
            texts.append("".join(lines[start : reader.line_num]))
            start = reader.line_num
    except csv.Error:
        raise UnreadableTableError(file, f"the quotes of row {len(records) + 1} are odd") from None
    if not records:
        raise UnreadableTableError(file, "it has no header row")
    if len(records[0]) == 1 and ";" in records[0][0]:
        reason = "semicolons stand between its cells; trialpress tidy --yes puts commas there"
        raise UnreadableTableError(file, reason)
    return TableText(file, tuple(texts), tuple(records))


def started(file: Path, columns: Sequence[str]) -> TableText:
    """A table with only its header."""
    return TableText(file, (record_text(columns, "\n"),), (tuple(columns),))


def joined(texts: Sequence[str], added: Sequence[str], table: TableText) -> bytes:
    """The bytes of a file: its records, then new ones, the last old line ended where it was not."""
    body = "".join(texts)
    is_ended = body.endswith(("\n", "\r"))
    return (body + ("" if is_ended or not added else table.line_end) + "".join(added)).encode()


def record_text(cells: Sequence[str], line_end: str) -> str:
    """One record of CSV; quotes only where they are needed."""
    if list(cells) == [""]:
        return f'""{line_end}'  # an empty line would be no record
    return ",".join(map(_quoted, cells)) + line_end


def _quoted(cell: str) -> str:
    """A cell as it stands in a file; the csv module would leave a lone carriage return bare."""
    return '"{}"'.format(cell.replace('"', '""')) if _NEEDS_QUOTES.search(cell) else cell


def replace_durably(file: Path, data: bytes) -> None:
    """Put a whole file in the place of another, or of none, whatever that one holds.

    Raises
    ------
    NotKeptError
        If the disk refuses; the file is as it was.
    """
    try:
        _replace(file.resolve(), data, lambda: True)
    except OSError as error:
        raise NotKeptError(file, error) from error


def replace_unchanged(file: Path, there: TableText | None, data: bytes) -> bool:
    """Put a whole file in the place of what was read from it, if that is what it still holds.

    Parameters
    ----------
    file : Path
        The file.
    there : TableText or None
        What it held when it was read; None where there was none.
    data : bytes
        What it is to hold.

    Returns
    -------
    bool
        False where somebody, an editor say, saved something else meanwhile: that stays.

    Raises
    ------
    NotKeptError
        If the disk refuses; the file is as it was.
    """
    place = file.resolve()
    before = None if there is None else "".join(there.texts).encode()
    try:
        return _replace(place, data, lambda: _bytes_of(place) == before)
    except OSError as error:
        raise NotKeptError(file, error) from error


def _bytes_of(file: Path) -> bytes | None:
    try:
        return file.read_bytes()
    except FileNotFoundError:
        return None


def _replace(file: Path, data: bytes, is_wanted: Callable[[], bool]) -> bool:
    """Write beside a file, flush, and take its place if that is wanted still."""
    _make_folder(file.parent)
    new, descriptor = _new_beside(file)
    try:
        with os.fdopen(descriptor, "wb") as opened:
            if file.exists():
                os.fchmod(opened.fileno(), stat.S_IMODE(file.stat().st_mode))
            opened.write(data)
            opened.flush()
            os.fsync(opened.fileno())
        if not is_wanted():
            return False
        new.replace(file)
    finally:
        new.unlink(missing_ok=True)
    _flush_folder(file.parent)
    return True


def _new_beside(file: Path) -> tuple[Path, int]:
    """A file that nobody can have put there before; intake passes over its hidden name."""
    new = file.with_name(f".{file.name}.{secrets.token_hex(8)}.new")
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0)
    return new, os.open(new, flags | getattr(os, "O_BINARY", 0), 0o666)


def _make_folder(folder: Path) -> None:
    """Make a folder and those above it, each noted on the disk in the one that holds it."""
    if folder.is_dir():
        return
    _make_folder(folder.parent)
    folder.mkdir(exist_ok=True)
    _flush_folder(folder.parent)


def _flush_folder(folder: Path) -> None:
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
