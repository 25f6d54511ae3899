"""A quick look at every row, so that the data package library need see few of them.

In:  the rows of all tables as text.
Out: the rows that it may refuse; it has the last word on each.

The library reads a bench in a package of its own for each call, and each table anew for every
reference to it. Its readers of single cells, made once, do the same in a seventh of the time.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING

from trialpress.intake.rows import Row
from trialpress.intake.schemas import Reference, read_schema, read_schema_text

if TYPE_CHECKING:
    from frictionless import Schema

Tables = Mapping[str, Sequence[Row]]
Typed = Mapping[str, object]
"""The cells of one row, typed; a cell of the wrong type is None."""
Keys = frozenset[tuple[object, ...]]


def doubtful_rows(tables: Tables) -> dict[str, list[Row]]:
    """The rows of each table with a cell, a key or a reference that may be refused.

    Parameters
    ----------
    tables : mapping of table name to rows
        Every table of the bench.

    Returns
    -------
    dict of str to list of Row
        In order, without the tables that are in order. Rows that share a key are all among them.
    """
    read = {table: [_read(row) for row in rows] for table, rows in tables.items()}
    typed = {table: [cells for cells, _ in pairs] for table, pairs in read.items()}
    known: dict[Reference, Keys] = {
        reference: frozenset(_texts(cells, reference.key) for cells in typed[reference.table])
        for table in tables
        for reference in read_schema(table).references
    }
    doubtful = {}
    for table, rows in tables.items():
        schema = read_schema(table)
        keys = Counter(_texts(cells, schema.key) for cells in typed[table])
        doubtful[table] = [
            row
            for row, (cells, is_refused) in zip(rows, read[table], strict=True)
            if is_refused
            or keys[_texts(cells, schema.key)] > 1
            or _misses(cells, schema.references, known)
        ]
    return {table: rows for table, rows in doubtful.items() if rows}


@cache
def library_schema(table: str) -> Schema:
    """The schema of one table as the data package library has it; read it only."""
    from frictionless import Schema  # noqa: PLC0415, it takes a fifth of a second to import

    return Schema.from_descriptor(json.loads(read_schema_text(table)))


@cache
def cell_reader(
    table: str, column: str
) -> Callable[[str | None], tuple[object, Mapping[str, str] | None]]:
    """The library's own reader of one column: from text to a value, and what is wrong with it."""
    reader: Callable[[str | None], tuple[object, Mapping[str, str] | None]] = (
        library_schema(table).get_field(column).create_cell_reader()
    )
    return reader


def _read(row: Row) -> tuple[Typed, bool]:
    """The typed cells of a row, and whether any of them is refused."""
    cells, is_refused = {}, False
    for column in read_schema(row.table).columns:
        cells[column], notes = cell_reader(row.table, column)(row.cells[column])
        is_refused = is_refused or bool(notes)
    return cells, is_refused or None in {cells[column] for column in read_schema(row.table).key}


def _texts(cells: Typed, columns: tuple[str, ...]) -> tuple[object, ...]:
    return tuple(cells[column] for column in columns)


def _misses(cells: Typed, references: Sequence[Reference], known: Mapping[Reference, Keys]) -> bool:
    """Whether a reference that is not blank leads nowhere."""
    wanted = ((_texts(cells, reference.columns), reference) for reference in references)
    return any(set(key) != {None} and key not in known[reference] for key, reference in wanted)
