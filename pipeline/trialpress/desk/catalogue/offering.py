"""What is asked of a row: what each column means, what it may say, what is proposed for it.

In:  a table's schema and the rows that stand in the bench's files, whatever their faults.
Out: plain data for the form and for the terminal; proposals, which a tester may take or leave.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import count

from trialpress.bench import Bench
from trialpress.desk.catalogue.tables import TypedRow, rows_of, table_text
from trialpress.errors import UsageError
from trialpress.intake import Field, TableSchema, read_schema
from trialpress.intake.nearest import meant
from trialpress.view.vocabulary import KINDS

NAMED_AFTER: Mapping[str, tuple[str, ...]] = {
    "makers": ("name",),
    "machines": ("name",),
    "setups": ("machine", "label"),
    "floors": ("name",),
    "soils": ("name",),
    "instruments": ("quantity",),
    "protocols": ("title",),
    "claims": ("machine", "quantity"),
    "films": ("title",),
}
"""The columns that an identifier is proposed from; marks in films have none of their own."""
NOUNS: Mapping[str, str] = {
    "makers": "maker",
    "machines": "machine",
    "setups": "set-up",
    "floors": "floor",
    "soils": "soil",
    "instruments": "instrument",
    "protocols": "protocol",
    "claims": "claim",
    "films": "film",
    "film_marks": "mark in a film",
}
"""What people call one row."""
LONGEST_NAME = 60
_LASTING = "A name is proposed; change it now, as it stays once the row has it."
_NOT_IN_NAMES = re.compile(r"[^a-z0-9]+")
_FREE = ("name", "title", "website", "address", "note")
"""Columns in which no row says what another one does."""
_CALLED = ("name", "label", "title", "quantity")
Rows = Mapping[str, Sequence[TypedRow]]


class NoSuchPatternError(UsageError):
    """There is no row, and no starter, of the name given to copy from."""

    def __init__(self, table: str, name: str, known: Iterable[str]) -> None:
        names = [*known]
        there = f"There are: {', '.join(names)}." if names else "There is none yet."
        super().__init__(f"{table} has nothing called {name} to copy. {meant(name, names)}{there}")


@dataclass(frozen=True)
class ColumnOffer:
    """One column: what it means, and what it may say.

    ``choices`` are words with what they mean to people; where they are not all that may stand
    there (``is_open``), they are the words that stand in other rows. ``refers_to`` is the table
    that they are rows of.
    """

    name: str
    title: str
    meaning: str
    type: str
    is_required: bool
    is_key: bool
    is_open: bool
    choices: tuple[tuple[str, str], ...]
    refers_to: str | None = None


@dataclass(frozen=True)
class RowOffer:
    """A row that can be changed or copied, and what people call it."""

    number: int
    key: tuple[str, ...]
    name: str
    cells: Mapping[str, str]


@dataclass(frozen=True)
class TableOffer:
    """One table: its columns in the order in which they are asked, and its rows."""

    table: str
    noun: str
    title: str
    description: str
    columns: tuple[ColumnOffer, ...]
    rows: tuple[RowOffer, ...]


def read_rows(bench: Bench, tables: Iterable[str]) -> Rows:
    """The rows of some tables, and of those that they refer to.

    Raises
    ------
    UnreadableTableError
        If a file is no table.
    """
    wanted = [*tables]
    needed = {r.table for table in wanted for r in read_schema(table).references}
    return {table: rows_of(table_text(bench, table)) for table in dict.fromkeys((*wanted, *needed))}


def offer(bench: Bench, table: str, rows: Rows) -> TableOffer:
    """What is asked of a row of a table; columns that its file lacks are left out."""
    schema = read_schema(table)
    there = set(table_text(bench, table).columns)
    fields = [schema.field(name) for name in asked_in_order(schema) if name in there]
    return TableOffer(
        table=table,
        noun=NOUNS[table],
        title=schema.title,
        description=schema.description,
        columns=tuple(_column(schema, field, rows) for field in fields),
        rows=tuple(RowOffer(row.number, row.key, called(row), row.cells) for row in rows[table]),
    )


def asked_in_order(schema: TableSchema) -> tuple[str, ...]:
    """The columns: first those that a name is proposed from, then the name, then the others."""
    first = (*NAMED_AFTER.get(schema.name, ()), *schema.key)
    return tuple(dict.fromkeys((*first, *schema.columns)))


def called(row: TypedRow) -> str:
    """What people call a row: its key, and its name where it has one."""
    key = " ".join(row.key)
    name = next((row.cells[column] for column in _CALLED if column in row.cells), "")
    return f"{name} ({key})" if name and name != key else key


def _column(schema: TableSchema, field: Field, rows: Rows) -> ColumnOffer:
    closed = _closed_choices(schema, field, rows)
    is_name = schema.name in NAMED_AFTER and field.name == schema.key[0]
    return ColumnOffer(
        name=field.name,
        title=field.title,
        meaning=f"{field.meaning} {_LASTING}" if is_name else field.meaning,
        type=field.type,
        is_required=field.required,
        is_key=field.name in schema.key,
        is_open=closed is None,
        choices=_words_so_far(schema, field, rows) if closed is None else closed,
        refers_to=next((r.table for r in schema.references if r.columns == (field.name,)), None),
    )


def _words_so_far(schema: TableSchema, field: Field, rows: Rows) -> tuple[tuple[str, str], ...]:
    """What other rows say in a column in which rows often say the same."""
    if field.type != "string" or field.name in schema.key or field.name in _FREE:
        return ()
    known = [*KINDS] if field.name == "kind" else []
    used = [row.cells[field.name] for row in rows[schema.name] if field.name in row.cells]
    return tuple((word, "") for word in dict.fromkeys([*known, *used]))


def _closed_choices(
    schema: TableSchema, field: Field, rows: Rows
) -> tuple[tuple[str, str], ...] | None:
    """All that a column may say; None where it may say other things."""
    if field.type == "boolean":
        return (("true", ""), ("false", ""))
    if field.allowed:
        return tuple((word, "") for word in field.allowed)
    for reference in schema.references:
        if reference.columns == (field.name,):
            return tuple((row.key[0], called(row)) for row in rows[reference.table] if row.key)
    return None


def proposals(table: str, cells: Mapping[str, str], rows: Rows, today: date) -> dict[str, str]:
    """What could stand in columns that are blank still, by what was answered so far.

    Parameters
    ----------
    table : str
        The table.
    cells : mapping of column to text
        What was answered, without blanks.
    rows : mapping of table to its rows
        What stands in the bench.
    today : date
        The day a protocol could begin, or a claim was seen.

    Returns
    -------
    dict of column to text
        A name that is free, made of what the row is called; the next version; a few usual answers.
    """
    schema, own = read_schema(table), rows[table]
    proposed: dict[str, str] = {}
    if table in NAMED_AFTER:
        taken = {row.key[0] for row in own}
        proposed[schema.key[0]] = free_name([cells.get(c, "") for c in NAMED_AFTER[table]], taken)
    if table == "setups":
        machine = cells.get("machine")
        is_first = all(row.cells.get("machine") != machine for row in own)
        proposed |= {"stock": "true" if is_first else "false", "reference": "false"}
    elif table == "protocols":
        name = cells.get("protocol") or proposed.get("protocol", "")
        proposed |= {"version": _next_version(name, own), "continues": "false"}
        proposed |= {"from_date": today.isoformat(), "in_overall": "0"}
    elif table == "claims":
        proposed["stated_on"] = today.isoformat()
    return {c: text for c, text in proposed.items() if text and not cells.get(c)}


def _next_version(name: str, rows: Sequence[TypedRow]) -> str:
    versions = [int(row.key[1]) for row in rows if row.key[0] == name and row.key[1].isdecimal()]
    return str(max(versions, default=0) + 1)


def free_name(words: Sequence[str], taken: Iterable[str]) -> str:
    """An identifier made of some words, with a number where it is taken; blank without words."""
    slug = slug_of(" ".join(words)) if all(words) else ""
    if not slug or slug not in (names := set(taken)):
        return slug
    return next(name for i in count(2) if (name := f"{slug[: LONGEST_NAME - 4]}-{i}") not in names)


def slug_of(text: str) -> str:
    """Small letters, digits and hyphens that stand for a text; blank where nothing of it can."""
    plain = unicodedata.normalize("NFKD", text.casefold()).encode("ascii", "ignore").decode()
    return _NOT_IN_NAMES.sub("-", plain).strip("-")[:LONGEST_NAME].rstrip("-")


def copied_cells(table: str, name: str, rows: Rows) -> dict[str, str]:
    """What the newest row of a name says, without its key: what another one can begin with.

    Raises
    ------
    NoSuchPatternError
        If there is none.
    """
    key = read_schema(table).key
    found = [row for row in rows[table] if name in {row.key[0], " ".join(row.key)}]
    if not found:
        raise NoSuchPatternError(table, name, dict.fromkeys(row.key[0] for row in rows[table]))
    return {column: text for column, text in found[-1].cells.items() if column not in key}
