"""What was answered, and the files of the bench as they are with it.

In:  JSON from the page, which may hold anything, or the answers in a terminal.
Out: a ``TypedEntry``, of which intake judges what it says; the bytes its files are to have.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from trialpress.bench import Bench
from trialpress.desk.append import TableText, joined, read_table_text, started
from trialpress.desk.catalogue.tables import (
    ENTERED,
    TypedRow,
    file_of,
    method_file,
    method_of,
    rows_of,
)
from trialpress.desk.last_change import FileChange
from trialpress.errors import FaultyDataError, UsageError
from trialpress.intake import read_schema
from trialpress.intake.dialect import house_row
from trialpress.intake.spelling import Doubt, NumberForms

LONGEST_TEXT = 2_000
LONGEST_METHOD = 50_000
PROTOCOLS = "protocols"
_HALF = re.compile("[\ud800-\udfff]")
"""Halves of a letter (Unicode 16, 3.9): so Python reads bytes that are no UTF-8."""
_LINE_END = re.compile(r"\r\n|\r|\n")
NOTHING_WRITTEN = "Nothing was written."


class EntryError(UsageError):
    """What was sent or typed is no row of a table."""

    def __init__(self, problem: str) -> None:
        super().__init__(f"{problem}. {NOTHING_WRITTEN}")


class RowGoneError(FaultyDataError):
    """The row that was to be changed is not there any more."""

    def __init__(self, file: Path, key: Sequence[str]) -> None:
        super().__init__(
            f"{file.name} has no row {' '.join(key)} any more. {NOTHING_WRITTEN} "
            "Load the page anew to see what is there."
        )


class ChangedMeanwhileError(FaultyDataError):
    """Somebody else changed the row since it was shown."""

    def __init__(self, where: str, was: str, now: str) -> None:
        super().__init__(
            f"{where} says {now or 'nothing'} by now, and said {was or 'nothing'} when this form "
            f"was opened: another window or program has changed it. {NOTHING_WRITTEN} "
            "Load the page anew, and change what is there now."
        )


@dataclass(frozen=True)
class TypedEntry:
    """One row: new, or in the place of the one that has ``key`` and said ``was`` when shown.

    ``cells`` are without blanks. ``method`` is the text of a protocol, None where it stays as it
    is; ``method_was`` what it said when shown. ``is_removed`` where the row is to go.
    """

    table: str
    cells: Mapping[str, str]
    key: tuple[str, ...] | None = None
    was: Mapping[str, str] = field(default_factory=dict)
    method: str | None = None
    method_was: str | None = None
    is_removed: bool = False

    @property
    def own_key(self) -> tuple[str, ...]:
        """The text of its key columns."""
        return tuple(self.cells.get(column, "") for column in read_schema(self.table).key)

    def with_cells(self, cells: Mapping[str, str]) -> TypedEntry:
        """The same with some more cells."""
        return replace(self, cells={**cells, **self.cells})


@dataclass(frozen=True)
class Placed:
    """An entry in its files, a method text first; no change where all of it stands there."""

    file: Path
    row: int
    changes: tuple[FileChange, ...]


def read_entry(sent: object) -> TypedEntry:
    """Make sure of the form of what the page sent.

    Raises
    ------
    EntryError
        If it names no table or column, or its texts are none.
    """
    if not isinstance(sent, dict) or sent.get("table") not in ENTERED:
        raise EntryError("What was sent names no table of the catalogue")
    table = str(sent["table"])
    key = sent.get("key")
    is_key = isinstance(key, list) and all(isinstance(part, str) for part in key)
    if key is not None and not is_key:
        raise EntryError("What was sent names no row")
    if sent.get("remove") is True and key is not None:
        was = _cells(sent.get("was", {}), table)
        return TypedEntry(table, was, tuple(key), was, is_removed=True)
    method = _method(sent.get("method")) if table == PROTOCOLS else None
    return new_entry(
        table,
        _cells(sent.get("cells"), table),
        key=None if key is None else tuple(key),
        was=_cells(sent.get("was", {}), table),
        method=method,
        method_was=_method(sent.get("method_was")),
    )


def new_entry(  # noqa: PLR0913  one option a field
    table: str,
    cells: Mapping[str, str],
    *,
    key: tuple[str, ...] | None = None,
    was: Mapping[str, str] | None = None,
    method: str | None = None,
    method_was: str | None = None,
) -> TypedEntry:
    """An entry in the form in which ``check`` reads it; what can mean two things stays as typed.

    Raises
    ------
    EntryError
        If a text has what is no letter, as a terminal with another encoding gives it.
    """
    for column, cell in cells.items():
        if _HALF.search(cell):
            raise EntryError(f"What stands in {column} is no text in UTF-8")
    house = house_row(
        table, {column: text.strip() for column, text in cells.items()}, NumberForms()
    )
    texts = {c: cell.text if isinstance(cell, Doubt) else cell for c, cell in house.items()}
    filled = {c: text for c in read_schema(table).columns if (text := texts.get(c))}
    return TypedEntry(table, filled, key, was or {}, method, method_was)


def _cells(sent: object, table: str) -> dict[str, str]:
    if not isinstance(sent, dict):
        raise EntryError("A row is no row")
    columns = read_schema(table).columns
    for column, text in sent.items():
        if column not in columns:
            raise EntryError(f"{column} is no column of {table}.csv")
        if not isinstance(text, str) or len(text) > LONGEST_TEXT:
            raise EntryError(
                f"What stands in {column} is no text of up to {LONGEST_TEXT:,} letters"
            )
    return {column: text.strip() for column, text in sent.items() if text.strip()}


def _method(sent: object) -> str | None:
    if sent is not None and (not isinstance(sent, str) or len(sent) > LONGEST_METHOD):
        raise EntryError(f"The method is no text of up to {LONGEST_METHOD:,} letters")
    return sent


def place(bench: Bench, entry: TypedEntry) -> Placed:
    """Put an entry into its files; nothing is written.

    Raises
    ------
    RowGoneError, ChangedMeanwhileError
        If what is to be changed is not what was shown.
    NoSuchColumnError, UnreadableTableError
        If the file has no place for it.
    """
    file = file_of(bench, entry.table)
    there = read_table_text(file)
    text = there or started(file, read_schema(entry.table).columns)
    rows = {row.key: row for row in rows_of(text)}
    if entry.is_removed:
        row, data = _without(text, entry, rows)
        changes = (FileChange(file, text.data, data), *_needless_method(bench, entry, rows))
        return Placed(file, row, changes)
    method = _placed_method(bench, entry)
    same = rows.get(entry.own_key)
    if entry.key is None and same is not None and same.cells == entry.cells:
        return Placed(file, same.number, method)
    if entry.key is None:
        row, data = text.end + 1, joined(text.texts, [text.row_text(entry.cells)], text)
    else:
        row, data = _changed(text, entry, rows)
    before = there.data if there else None
    changes = () if data == before else (FileChange(file, before, data),)
    return Placed(file, row, (*method, *changes))


def _changed(
    text: TableText, entry: TypedEntry, rows: Mapping[tuple[str, ...], TypedRow]
) -> tuple[int, bytes]:
    """The number of the row that is changed, and the bytes of the file with it."""
    row = _row_as_shown(text, entry, rows)
    if entry.own_key != row.key:
        raise EntryError("A name stays as it is once a row has it: other rows refer to it")
    cells = {c: entry.cells.get(c, "") for c in read_schema(entry.table).columns}
    differing = {c: cell for c, cell in cells.items() if cell != row.cells.get(c, "")}
    texts = list(text.texts)
    if differing:
        texts[row.number - 1] = text.changed_text(row.number - 1, differing)
    return row.number, "".join(texts).encode()


def _without(
    text: TableText, entry: TypedEntry, rows: Mapping[tuple[str, ...], TypedRow]
) -> tuple[int, bytes]:
    """The number of the row that is to go, and the bytes of the file without it."""
    number = _row_as_shown(text, entry, rows).number
    return number, "".join((*text.texts[: number - 1], *text.texts[number:])).encode()


def _row_as_shown(
    text: TableText, entry: TypedEntry, rows: Mapping[tuple[str, ...], TypedRow]
) -> TypedRow:
    """The row that an entry takes the place of, if it still says what was shown."""
    row = rows.get(entry.key or ())
    if row is None:
        raise RowGoneError(text.file, entry.key or ())
    for column in read_schema(entry.table).columns:
        was, now = entry.was.get(column, ""), row.cells.get(column, "")
        if was != now:
            raise ChangedMeanwhileError(f"{text.file.name}, row {row.number}, {column}", was, now)
    return row


def _needless_method(
    bench: Bench, entry: TypedEntry, rows: Mapping[tuple[str, ...], TypedRow]
) -> tuple[FileChange, ...]:
    """The text of a protocol that goes with its last version."""
    if entry.table != PROTOCOLS or not entry.own_key[0]:
        return ()
    protocol = entry.own_key[0]
    text = method_of(bench, protocol)
    others = [key for key in rows if key[0] == protocol and key != entry.own_key]
    if others or text is None:
        return ()
    return (FileChange(method_file(bench, protocol), text.encode(), None),)


def _placed_method(bench: Bench, entry: TypedEntry) -> tuple[FileChange, ...]:
    """The text of a protocol, with the line ends its file has."""
    protocol = entry.cells.get("protocol", "")
    if entry.method is None or not protocol:
        return ()
    file, now = method_file(bench, protocol), method_of(bench, protocol)
    if now is not None and _plain(now) != _plain(entry.method_was or ""):
        was = "something else" if entry.method_was else ""
        raise ChangedMeanwhileError(f"methods/{file.name}", was, "another text")
    wanted = _plain(entry.method).strip("\n") + "\n"
    if not wanted.strip() or (now is not None and _plain(now).strip("\n") + "\n" == wanted):
        return ()
    found = _LINE_END.search(now or "")
    after = wanted.replace("\n", found.group() if found else "\n").encode()
    return (FileChange(file, None if now is None else now.encode(), after),)


def _plain(text: str) -> str:
    return _LINE_END.sub("\n", text)
