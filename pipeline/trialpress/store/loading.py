"""Text rows into typed DuckDB tables.

In:  the checked tables, all text, as typed and as corrected.
Out: ``loaded.<table>`` (typed, corrected) and ``loaded.<table>_as_typed`` (text; of some tables
     alone where the store is for results only) in a database that lives in memory, so that nothing
     hidden ever touches the store's file.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

import duckdb

from trialpress.bench import READING_TABLES, TABLES
from trialpress.intake import CheckedBench
from trialpress.intake.rows import Row
from trialpress.intake.schemas import TableSchema, read_schema
from trialpress.store.store import incoming

TRACE = ("source_file", "source_row", "day", "day_date", "row_key")
"""Columns beside those of the schema: where a row came from, and its key as corrections name it."""
OPERATOR = "operator"
ONCE_NAMED = ("protocols", "conditions", *READING_TABLES)
"""Tables whose rows as typed decide what may be seen: what they once named was there already."""
SQL_TYPES = {
    "string": "varchar",
    "integer": "bigint",
    "number": "double",
    "boolean": "boolean",
    "date": "date",
}


def load_tables(
    connection: duckdb.DuckDBPyConnection,
    bench: CheckedBench,
    as_of: date,
    *,
    keeps_as_typed: bool,
) -> None:
    """Load every table of ``bench``, its findings and the date of the build."""
    connection.execute("attach ':memory:' as loaded")
    columns_of = _columns if bench.settings.show_operators else _columns_without_operators
    for name in TABLES:
        schema = read_schema(name)
        table = bench.tables[name]
        typed, as_typed = (name, _typed_by_schema(schema)), (f"{name}_as_typed", _as_text(schema))
        texts = [as_typed] if keeps_as_typed or name in ONCE_NAMED else []
        if table.corrected is table.as_typed:
            _load(connection, columns_of(schema, table.corrected), typed, *texts)
        else:
            _load(connection, columns_of(schema, table.corrected), typed)
            _load(connection, columns_of(schema, table.as_typed), *texts)
    connection.execute(
        "create table loaded.build as select ?::date as as_of, ?::boolean as show_operators",
        [as_of, bench.settings.show_operators],
    )
    parts = ("code", "severity", "file", "row", "column", "value", "problem", "remedy")
    findings = {part: [getattr(finding, part) for finding in bench.findings] for part in parts}
    types = ", ".join(
        f'"{part}"::{"bigint" if part == "row" else "varchar"} as "{part}"' for part in parts
    )
    _load(connection, findings, ("findings", types))


def _columns(schema: TableSchema, rows: Sequence[Row]) -> Mapping[str, Sequence[object]]:
    """The text of every column, and where each row came from."""
    return {
        **{column: [row.cells[column] for row in rows] for column in schema.columns},
        "source_file": [row.file for row in rows],
        "source_row": [row.number for row in rows],
        "day": [row.day for row in rows],
        "day_date": [row.day_date for row in rows],
    }


def _columns_without_operators(
    schema: TableSchema, rows: Sequence[Row]
) -> Mapping[str, Sequence[object]]:
    """As ``_columns``, but for who made a run, and what was corrected in that."""
    if schema.name == "corrections":
        rows = [row for row in rows if row.cells["column"] != OPERATOR]
    columns = _columns(schema, rows)
    return {**columns, OPERATOR: [None] * len(rows)} if OPERATOR in columns else columns


def _load(
    connection: duckdb.DuckDBPyConnection,
    columns: Mapping[str, Sequence[object]],
    *tables: tuple[str, str],
) -> None:
    """Make one table or several of the same rows; each has a name and its columns in SQL."""
    with incoming(connection, columns) as source:
        for name, typed in tables:
            connection.execute(f'create table loaded."{name}" as select {typed} from {source}')


def _typed_by_schema(schema: TableSchema) -> str:
    columns = [
        f"{_quoted(field.name)}::{SQL_TYPES[field.type]} as {_quoted(field.name)}"
        for field in schema.fields
    ]
    return ", ".join([*columns, *_trace(schema)])


def _as_text(schema: TableSchema) -> str:
    columns = [
        f"{_quoted(field.name)}::varchar as {_quoted(field.name)}" for field in schema.fields
    ]
    return ", ".join([*columns, *_trace(schema)])


def _trace(schema: TableSchema) -> list[str]:
    """Where a row came from, and its key as corrections name it."""
    key = ", ".join(f"{_quoted(column)}::varchar" for column in schema.key)
    return [
        "source_file::varchar as source_file",
        "source_row::bigint as source_row",
        "day::varchar as day",
        "day_date::date as day_date",
        f"concat_ws('|', {key}) as row_key",
    ]


def _quoted(name: str) -> str:
    return f'"{name}"'
