"""Text rows into typed DuckDB tables.

In:  the checked tables, all text, as typed and as corrected.
Out: ``loaded.<table>`` (typed, corrected) and ``loaded.<table>_as_typed`` (text) in a database
     that lives in memory only, so that nothing hidden ever touches the store's file.
"""

from __future__ import annotations

from datetime import date

import duckdb
import pandas as pd

from trialpress.bench import TABLES
from trialpress.intake import CheckedBench
from trialpress.intake.schemas import TableSchema, read_schema

SQL_TYPES = {
    "string": "varchar",
    "integer": "bigint",
    "number": "double",
    "boolean": "boolean",
    "date": "date",
}


def load_tables(connection: duckdb.DuckDBPyConnection, bench: CheckedBench, as_of: date) -> None:
    """Load every table of ``bench``, its findings and the date of the build."""
    connection.execute("attach ':memory:' as loaded")
    for name in TABLES:
        schema = read_schema(name)
        table = bench.tables[name]
        _load(connection, f"{name}_as_typed", _typed_as_text(schema), table.as_typed)
        _load(connection, name, _typed_by_schema(schema), table.corrected)
    connection.execute("create table loaded.build as select ?::date as as_of", [as_of])
    findings = pd.DataFrame(
        [
            (f.code.value, f.severity.value, f.file, f.row, f.column, f.value, f.problem, f.remedy)
            for f in bench.findings
        ],
        columns=["code", "severity", "file", "row", "column", "value", "problem", "remedy"],
        dtype=object,
    )
    _load(
        connection,
        "findings",
        'code, severity, file, row::bigint as row, "column", value, problem, remedy',
        findings,
    )


def _load(
    connection: duckdb.DuckDBPyConnection, name: str, columns: str, frame: pd.DataFrame
) -> None:
    as_text = frame.astype("string").astype(object).where(frame.notna(), None)
    if as_text.empty:
        names = ", ".join(f"null::varchar as {_quoted(column)}" for column in frame.columns)
        connection.execute(
            f'create table loaded."{name}" as select {columns} from (select {names}) where false'
        )
        return
    connection.register("incoming", as_text)
    connection.execute(f'create table loaded."{name}" as select {columns} from incoming')
    connection.unregister("incoming")


def _typed_by_schema(schema: TableSchema) -> str:
    columns = [
        f"{_quoted(field.name)}::{SQL_TYPES[field.type]} as {_quoted(field.name)}"
        for field in schema.fields
    ]
    return ", ".join([*columns, *_trace(schema)])


def _typed_as_text(schema: TableSchema) -> str:
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
