"""The whole dataset as one SQLite file.

In:  the published tables of the store.
Out: a table each: results by their names, rows as typed as ``<table>_as_typed``, and a view
     ``<table>`` of these with the corrections applied.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from contextlib import closing
from datetime import date
from pathlib import Path

import duckdb

from trialpress.dataset.table_files import Cell, typed_rows
from trialpress.dataset.tables import AS_TYPED, Column, PublishedTable

DATABASE_FILE = "dataset.sqlite"
SQLITE_TYPES = {
    "string": "text",
    "integer": "integer",
    "number": "real",
    "boolean": "integer",
    "date": "text",
}
"""SQLite has neither truth values nor dates: 0 and 1, and text such as 2026-11-01."""


def write_database(
    connection: duckdb.DuckDBPyConnection, tables: Iterable[PublishedTable], folder: Path
) -> None:
    """Write the SQLite file of ``tables`` into ``folder``."""
    file = folder / DATABASE_FILE
    with closing(sqlite3.connect(file, isolation_level=None)) as database:
        database.execute("pragma journal_mode = off")
        database.execute("pragma synchronous = off")
        database.execute("begin")
        for table in tables:
            rows = connection.execute(typed_rows(table)).fetchall()
            _write(database, table, rows)
        for table in tables:
            if table.folder == AS_TYPED:
                database.execute(_view(database, table))
        database.execute("commit")


def name_in_database(table: PublishedTable) -> str:
    """What a published table is called in the SQLite file."""
    return f"{table.name}_as_typed" if table.folder == AS_TYPED else table.name


def _write(
    database: sqlite3.Connection, table: PublishedTable, rows: Sequence[Sequence[Cell]]
) -> None:
    columns = ", ".join(f'"{c.name}" {SQLITE_TYPES[c.type]}' for c in table.columns)
    name = name_in_database(table)
    database.execute(f'create table "{name}" ({columns}) strict')
    places = ", ".join("?" for _ in table.columns)
    database.executemany(f'insert into "{name}" values ({places})', map(_cells, rows))  # noqa: S608


def _cells(row: Sequence[Cell]) -> tuple[str | int | float | None, ...]:
    return tuple(cell.isoformat() if isinstance(cell, date) else cell for cell in row)


def _view(database: sqlite3.Connection, table: PublishedTable) -> str:
    """A view of the rows as they stand; a column that nothing corrects is taken as it is."""
    found = database.execute(
        'select distinct "column" from corrections_as_typed where "table" = ?', [table.name]
    )
    corrected = {column for (column,) in found}
    key = " || '|' || ".join(f't."{column}"' for column in table.schema["primaryKey"])
    columns = ",\n    ".join(
        _corrected(table.name, key, column) if column.name in corrected else f't."{column.name}"'
        for column in table.columns
    )
    return (
        f'create view "{table.name}" as\nselect\n    {columns}\n'
        f'from "{name_in_database(table)}" as t'
    )


def _corrected(table: str, key: str, column: Column) -> str:
    """The cell as last corrected, else as typed; a correction may also blank it."""
    lines = (
        f"from corrections_as_typed as c where c.\"table\" = '{table}' "
        f'and c."row" = {key} and c."column" = \'{column.name}\''
    )
    now = "c.now = 'true'" if column.type == "boolean" else f"cast(c.now as {_type(column)})"
    last = "order by c.corrected_on desc, c.source_row desc limit 1"
    return (
        f"case when exists (select 1 {lines}) then (select {now} {lines} {last}) "
        f'else t."{column.name}" end as "{column.name}"'
    )


def _type(column: Column) -> str:
    return SQLITE_TYPES[column.type]
