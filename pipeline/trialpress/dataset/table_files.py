"""One table as CSV and as Parquet.

In:  a table of the store.
Out: the same rows in the same order, twice. The CSV keeps the text as typed and the decimals that
     figures are published with; the Parquet file has numbers, dates and truth values typed.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from functools import partial
from itertools import repeat
from pathlib import Path

import duckdb

from trialpress.dataset.tables import Column, PublishedTable
from trialpress.store.loading import SQL_TYPES

ROWS_AT_ONCE = 100_000
Cell = str | int | float | bool | date | None


def write_table(connection: duckdb.DuckDBPyConnection, table: PublishedTable, folder: Path) -> None:
    """Write ``table`` below ``folder`` as Parquet and, but where it is too large, as CSV.

    Raises
    ------
    duckdb.Error
        If the store lacks the table or one of its columns.
    """
    if not table.is_parquet_only:
        held = _listed(column.name for column in table.columns)
        found = connection.execute(_selected(table, held))
        _write_csv(table, partial(found.fetchmany, ROWS_AT_ONCE), folder / table.csv)
    file = str(folder / table.parquet).replace("'", "''")
    connection.execute(f"copy ({typed_rows(table)}) to '{file}' (format parquet, compression zstd)")


def typed_rows(table: PublishedTable) -> str:
    """The query of the rows in their published order, each cell typed as its schema says."""
    return _selected(table, ", ".join(_typed(column) for column in table.columns))


def _selected(table: PublishedTable, columns: str) -> str:
    return f"select {columns} from {table.source} order by {_listed(table.order)}"  # noqa: S608


def _write_csv(
    table: PublishedTable, next_rows: Callable[[], Sequence[tuple[Cell, ...]]], file: Path
) -> None:
    names = [column.name for column in table.columns]
    decimals_at = [
        names.index(column.decimals_from) if column.decimals_from in names else None
        for column in table.columns
    ]
    with file.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(names)
        while batch := next_rows():
            columns = [*zip(*batch, strict=True)]
            as_text = map(_written, table.columns, columns, (_at(columns, i) for i in decimals_at))
            writer.writerows(zip(*as_text, strict=True))


def _at(columns: Sequence[Sequence[Cell]], index: int | None) -> Sequence[Cell] | None:
    return None if index is None else columns[index]


def _written(
    column: Column, cells: Sequence[Cell], decimals: Sequence[Cell] | None
) -> Iterable[Cell]:
    """Cells that a CSV writer writes as ``text_of`` has them, which it mostly does by itself."""
    if decimals is not None:
        return map(text_of, cells, decimals)
    if column.type == "boolean":
        return map(text_of, cells, repeat(None))
    return cells


def text_of(cell: Cell, decimals: Cell) -> str:
    """One cell as CSV holds it; ``decimals`` only where the figure has published ones."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return str(cell).lower()
    if isinstance(cell, float) and isinstance(decimals, int):
        return f"{cell:.{decimals}f}"
    return str(cell)


def _typed(column: Column) -> str:
    """A column cast to its type; a blank text is missing, as it is in the CSV."""
    if column.type == "string":
        return f'nullif("{column.name}", \'\') as "{column.name}"'
    return f'cast("{column.name}" as {SQL_TYPES[column.type]}) as "{column.name}"'


def _listed(names: Iterable[str]) -> str:
    return ", ".join(f'"{name}"' for name in names)
