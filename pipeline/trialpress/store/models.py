"""Models and checks: ``.sql`` files, run in the order that DuckDB itself finds.

In:  folders of ``.sql`` files, one ``select`` each; the file's name is the table's.
Out: tables in the store, whose headers' keys hold. A check selects bad rows; its first comment is
     the sentence it proves.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cache
from graphlib import TopologicalSorter
from importlib import resources
from types import MappingProxyType

import duckdb

from trialpress.errors import TrialpressError

KEY = re.compile(r"\bkey: (?P<columns>\w+(?:, \w+)*)")
"""As in ``grain: one row a run; key: run``, over as many lines as it takes."""
_READ_BY: dict[str, frozenset[str]] = {}


class CheckFailedError(TrialpressError):
    """A check query found rows that must not exist."""

    def __init__(self, name: str, sentence: str, rows: list[tuple[object, ...]]) -> None:
        shown = "\n".join(f"  {row}" for row in rows[:5])
        super().__init__(
            f"check {name}: it should hold that {sentence} "
            f"It does not for {len(rows)} row(s), the first of them:\n{shown}\n"
            "  Nothing was published. Please report this with the bench folder that shows it."
        )


def run_models(
    connection: duckdb.DuckDBPyConnection,
    package: str,
    folder: str,
    *,
    temporary: bool = False,
    and_these: Mapping[str, str] = MappingProxyType({}),
) -> None:
    """Make a table of every model in ``folder`` of ``package``, each after those it reads.

    ``and_these`` are models, by name, that were written by a loop over tables.

    Raises
    ------
    CheckFailedError
        If two rows of a model have the key that its header declares.
    """
    kind = "temporary table" if temporary else "table"
    models = {**_sql_files(package, folder), **and_these}
    reads = {
        name: _read_by(connection, sql) & (models.keys() - {name}) for name, sql in models.items()
    }
    for name in TopologicalSorter(dict(sorted(reads.items()))).static_order():
        connection.execute(f'create or replace {kind} "{name}" as {models[name]}')
    _check_keys(connection, {name: declared_key(sql) for name, sql in models.items()})


def _read_by(connection: duckdb.DuckDBPyConnection, sql: str) -> frozenset[str]:
    """The tables that a query reads; what a query says does not change while a process lasts."""
    if sql not in _READ_BY:
        _READ_BY[sql] = frozenset(connection.get_table_names(sql))
    return _READ_BY[sql]


@cache
def declared_key(sql: str) -> tuple[str, ...]:
    """The columns that a model's or query's header says are its key; none where it says none."""
    header = " ".join(line.strip("- ") for line in sql.splitlines() if line.startswith("--"))
    found = KEY.search(header)
    return tuple(found["columns"].split(", ")) if found else ()


def _check_keys(connection: duckdb.DuckDBPyConnection, keys: Mapping[str, Sequence[str]]) -> None:
    """All of them in one query; only where one is not held are its rows looked for."""
    columns = {
        name: ", ".join(f'"{column}"' for column in key)
        for name, key in sorted(keys.items())
        if key
    }
    twice = {
        name: f'from "{name}" group by {key} having count(*) > 1' for name, key in columns.items()
    }
    if not twice:
        return
    of_all = " union all ".join(f"(select '{name}' {rows})" for name, rows in twice.items())
    for (name,) in connection.execute(of_all).fetchall():
        asked = f"select {columns[name]}, count(*) {twice[name]} limit 5"
        rows = connection.execute(asked).fetchall()
        sentence = f"({', '.join(keys[name])}) names one row of the model {name}."
        raise CheckFailedError(f"key of {name}", sentence, rows)


def run_checks(connection: duckdb.DuckDBPyConnection, package: str, folder: str) -> None:
    """Run every check below ``folder`` of ``package``.

    Raises
    ------
    CheckFailedError
        At the first check that selects a row.
    """
    for name, sql in _sql_files(package, folder).items():
        rows = connection.execute(sql).fetchall()
        if rows:
            sentence = " ".join(
                line.removeprefix("--").strip()
                for line in sql.splitlines()
                if line.startswith("--")
            )
            raise CheckFailedError(name, sentence, rows)


@cache
def _sql_files(package: str, folder: str) -> Mapping[str, str]:
    """The text of every ``.sql`` file by its name, in the order of names."""
    files = (resources.files(package) / folder).iterdir()
    found = sorted((f for f in files if f.name.endswith(".sql")), key=lambda file: file.name)
    return {f.name.removesuffix(".sql"): f.read_text(encoding="utf-8") for f in found}
