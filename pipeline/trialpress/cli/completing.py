"""What a shell may complete: the names that stand in the bench's own files.

In:  the command line so far, and the files as they are; one that cannot be read has no names.
Out: names that begin with what is typed. Nothing is checked, so that it takes no time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import typer

from trialpress.bench import (
    CATALOGUE_TABLES,
    CORRECTED_TABLES,
    FILM_TABLES,
    READING_TABLES,
    TABLES,
    Bench,
)
from trialpress.intake import read_schema
from trialpress.intake.corrections import FIXED_COLUMNS
from trialpress.intake.folder import TableFile
from trialpress.intake.table_file import read_table_file

Completion = Callable[[typer.Context, str], list[str]]


def _completion(names: Callable[[typer.Context], Iterator[str]]) -> Completion:
    def complete(context: typer.Context, incomplete: str) -> list[str]:
        return sorted({name for name in names(context) if name.startswith(incomplete)})

    return complete


def _tables(_: typer.Context) -> Iterator[str]:
    yield from CORRECTED_TABLES


def _rows(context: typer.Context) -> Iterator[str]:
    """Keys of one column; what joins several would end a command in a shell."""
    table = context.params.get("table")
    if table in TABLES and len(read_schema(table).key) == 1:
        yield from _column(context, table, read_schema(table).key[0])


def _columns(context: typer.Context) -> Iterator[str]:
    """The columns that may be corrected."""
    table = context.params.get("table")
    if table in TABLES:
        schema = read_schema(table)
        yield from (name for name in schema.columns if name not in FIXED_COLUMNS.union(schema.key))


def _setups(context: typer.Context) -> Iterator[str]:
    yield from _column(context, "setups", "setup")


def _protocols(context: typer.Context) -> Iterator[str]:
    yield from _column(context, "protocols", "protocol")


def _runs_and_setups(context: typer.Context) -> Iterator[str]:
    yield from _setups(context)
    for table in READING_TABLES:
        yield from _column(context, table, "run")


def _entered(_: typer.Context) -> Iterator[str]:
    yield from (*CATALOGUE_TABLES, *FILM_TABLES)


def _assignments(context: typer.Context) -> Iterator[str]:
    """Each column with its sign, and with the words it can hold."""
    table = context.params.get("table")
    if table in TABLES:
        for field in read_schema(table).fields:
            yield from (f"{field.name}={word}" for word in field.allowed or ("",))


def _patterns(context: typer.Context) -> Iterator[str]:
    """What a row can begin with: another of its table, or a kind of trial.

    Behind an option without its value nothing is known yet of the arguments before it: then of all.
    """
    from trialpress.desk.catalogue.starters import starters  # noqa: PLC0415  slow

    given = context.params.get("table")
    for table in [given] if given in CATALOGUE_TABLES else CATALOGUE_TABLES:
        yield from _column(context, table, read_schema(table).key[0])
    if given in {None, "", "protocols"}:
        yield from starters()


def _column(context: typer.Context, table: str, column: str) -> Iterator[str]:
    bench = Bench(Path(context.params.get("bench") or "."))
    in_catalogue = table in CATALOGUE_TABLES
    folder, pattern = (bench.catalogue, "") if in_catalogue else (bench.days, "*/")
    for file in sorted(folder.glob(f"{pattern}{table}.csv")):
        rows = read_table_file(TableFile(file, file.name, table)).rows
        yield from (row.cells[column] or "" for row in rows)


complete_table = _completion(_tables)
complete_row = _completion(_rows)
complete_column = _completion(_columns)
complete_entered = _completion(_entered)
complete_assignment = _completion(_assignments)
complete_pattern = _completion(_patterns)
complete_setup = _completion(_setups)
complete_protocol = _completion(_protocols)
complete_run_or_setup = _completion(_runs_and_setups)
