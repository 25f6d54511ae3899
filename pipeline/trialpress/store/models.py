"""Models and checks: ``.sql`` files, run in the order that DuckDB itself finds.

In:  folders of ``.sql`` files, one ``select`` each; the file's name is the table's.
Out: tables in the store. A check selects bad rows; its first comment is the sentence it proves.
"""

from __future__ import annotations

from collections.abc import Iterable
from graphlib import TopologicalSorter
from importlib import resources
from importlib.resources.abc import Traversable

import duckdb

from trialpress.errors import TrialpressError


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
    connection: duckdb.DuckDBPyConnection, package: str, folder: str, *, temporary: bool = False
) -> None:
    """Make a table of every model in ``folder`` of ``package``, each after those it reads."""
    kind = "temporary table" if temporary else "table"
    models = {file.name.removesuffix(".sql"): _text(file) for file in _sql_files(package, folder)}
    reads = {
        name: {used for used in connection.get_table_names(sql) if used in models and used != name}
        for name, sql in models.items()
    }
    for name in TopologicalSorter(dict(sorted(reads.items()))).static_order():
        connection.execute(f'create or replace {kind} "{name}" as {models[name]}')


def run_checks(connection: duckdb.DuckDBPyConnection, package: str, folder: str) -> None:
    """Run every check below ``folder`` of ``package``.

    Raises
    ------
    CheckFailedError
        At the first check that selects a row.
    """
    for file in _sql_files(package, folder):
        sql = _text(file)
        rows = connection.execute(sql).fetchall()
        if rows:
            sentence = " ".join(
                line.removeprefix("--").strip()
                for line in sql.splitlines()
                if line.startswith("--")
            )
            raise CheckFailedError(file.name.removesuffix(".sql"), sentence, rows)


def _sql_files(package: str, folder: str) -> Iterable[Traversable]:
    files = (resources.files(package) / folder).iterdir()
    return sorted((f for f in files if f.name.endswith(".sql")), key=lambda file: file.name)


def _text(file: Traversable) -> str:
    return file.read_text(encoding="utf-8")
