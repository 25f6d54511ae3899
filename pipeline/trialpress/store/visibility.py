"""What may be seen on a date, and nothing else, into the store.

In:  ``loaded.<table>``, corrected, and ``loaded.<table>_as_typed``; rules in ``models/visible``.
Out: ``<table>`` and ``as_typed.<table>`` with visible rows only, numbered as if the hidden ones
     were not there; ``readings`` beside both: the rows of all reading tables in one view.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable

import duckdb

from trialpress.bench import READING_TABLES, TABLES
from trialpress.intake import Finding
from trialpress.intake.schemas import read_schema
from trialpress.store.loading import TRACE
from trialpress.store.models import run_models

PACKAGE = "trialpress.store"
HEADER_ROW = 1
NAMING = (("setups", "machine"), ("machines", "maker"), ("protocols", "floor"))
"""Columns of the catalogue that can once have named something hidden."""


def keep_visible_rows(
    connection: duckdb.DuckDBPyConnection, filled: Collection[str], *, keeps_as_typed: bool
) -> None:
    """Copy what may be seen out of ``loaded``; ``filled`` are the tables that have a row at all."""
    _gather_readings(connection, "loaded", "")
    _gather_readings(connection, "loaded", "_as_typed")
    rows = {"visible_rows": _visible_rows()}
    run_models(connection, PACKAGE, "models/visible", temporary=True, and_these=rows)
    kept = {"main": ""}
    if keeps_as_typed:
        connection.execute("create schema as_typed")
        kept["as_typed"] = "_as_typed"
        _begin_histories_later(connection)
    if "gradings" in filled:
        _name_graders(connection, kept.values())
    for schema, suffix in kept.items():
        for name in TABLES:
            _keep(connection, name, f"{name}{suffix}", schema, is_filled=name in filled)
        _gather_readings(connection, schema, "")
    connection.execute(
        'create table findings as select code, severity, file, "row", "column", value, problem, '
        'remedy from visible_findings order by file, "row", code, "column"'
    )


def is_told(connection: duckdb.DuckDBPyConnection) -> Callable[[Finding], bool]:
    """Whether a finding may be told beside what is visible: it speaks of no hidden row."""
    seen = set(
        connection.execute(
            "select source_file, source_row from visible_rows "
            "union all select source_file, source_row from visible_corrections"
        ).fetchall()
    )
    return lambda finding: (
        finding.row is None
        or not finding.file.endswith(".csv")
        or (finding.file, finding.row) in seen
        or finding.row == HEADER_ROW
    )


def _gather_readings(connection: duckdb.DuckDBPyConnection, schema: str, suffix: str) -> None:
    """A view of the rows of all reading tables; columns that a table lacks are NULL there."""
    parts = " union all by name ".join(
        f"select '{name}' as of_table, {_columns(name)} from {schema}.\"{name}{suffix}\""
        for name in READING_TABLES
    )
    connection.execute(f'create view {schema}."readings{suffix}" as {parts}')


def _visible_rows() -> str:
    """The rows of all tables but corrections, by the rule of each; see ``models/visible``.

    ``published_row`` counts the visible rows of a file only, so that no gap in the numbers tells of
    a hidden one; without an embargo it is the row that a spreadsheet shows.
    """
    rules = {name: f"'{name}'" for name in TABLES if name not in (*READING_TABLES, "corrections")}
    rules["readings"] = "of_table"
    parts = " union all ".join(
        f"select {of_table} as of_table, row_key, source_file, source_row from visible_{name}"
        for name, of_table in rules.items()
    )
    return (
        "select of_table, row_key, source_file, source_row, "
        "1 + row_number() over (partition by source_file order by source_row) as published_row "
        f"from ({parts})"
    )


def _begin_histories_later(connection: duckdb.DuckDBPyConnection) -> None:
    """Let cells as typed say what they said after the last name that is hidden."""
    if not connection.execute("select 1 from hidden_histories limit 1").fetchall():
        return
    for table, column in NAMING:
        connection.execute(
            f'update loaded."{table}_as_typed" as t set "{column}" = h.shown '
            "from hidden_histories as h "
            "where h.of_table = ? and h.of_column = ? and h.row_key = t.row_key",
            [table, column],
        )


def _name_graders(connection: duckdb.DuckDBPyConnection, suffixes: Iterable[str]) -> None:
    """Let gradings, and corrections of them, have the published name of a grader in their keys."""
    key = "concat_ws('|', g.run, g.zone, n.published_name)"
    for suffix in suffixes:
        connection.execute(
            f'update loaded."corrections{suffix}" as c set "row" = {key}, '
            f'row_key = concat_ws(\'|\', c.correction, c."table", {key}, c."column") '
            "from loaded.gradings as g inner join grader_names as n on g.grader = n.grader "
            'where c."table" = \'gradings\' and c."row" = g.row_key'
        )
    for suffix in suffixes:
        connection.execute(
            f'update loaded."gradings{suffix}" as g '
            f"set grader = n.published_name, row_key = {key} "
            "from grader_names as n where g.grader = n.grader"
        )


def _keep(
    connection: duckdb.DuckDBPyConnection, name: str, source: str, schema: str, *, is_filled: bool
) -> None:
    rule = "visible_corrections" if name == "corrections" else "visible_rows"
    kept = [column for column in _names(name) if column != "source_row"]
    columns = ", ".join(f't."{column}"' for column in kept)
    numbered = (
        f'v.published_row as source_row from loaded."{source}" as t '
        f"inner join {rule} as v using (source_file, source_row) "
        "order by t.source_file, t.source_row"
    )
    none = f't.source_row from loaded."{source}" as t'  # nothing to be joined and put in order
    connection.execute(
        f'create table {schema}."{name}" as select {columns}, {numbered if is_filled else none}'
    )


def _columns(table: str) -> str:
    return ", ".join(f'"{column}"' for column in _names(table))


def _names(table: str) -> tuple[str, ...]:
    return *read_schema(table).columns, *TRACE
