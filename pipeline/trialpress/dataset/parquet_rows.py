"""Which rows two Parquet files do not share.

In:  two files of one table, of which neither is trusted; they may be too large for Python.
Out: the rows that only one has, of the first keys alone.

Short: editions are compared by it, and datasets verified.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

import duckdb

Cell = str | int | float | bool | None
Rows = list[dict[str, Cell]]
MOST_KEYS = 1000
_UNSHARED = """
with one as (from read_parquet($one) select {columns}),
other as (from read_parquet($other) select {columns}),
here as (from one except all from other),
there as (from other except all from one),
keys as (from (from here union all from there) select distinct {key} order by all limit {most})
select is_there, {columns} from (
    select false as is_there, * from here union all select true as is_there, * from there
) semi join keys using ({key}) order by all
"""


def unshared_rows(
    one: Path, other: Path, columns: Sequence[str], key: Sequence[str]
) -> tuple[Rows, Rows]:
    """The rows that only one of two files has, by their key.

    Parameters
    ----------
    one, other : Path
        Parquet files.
    columns, key : sequence of str
        Names to compare, and those of them that name a row; plain identifiers.

    Returns
    -------
    tuple of list
        Rows of the first, and of the second, that the other lacks: those of the first
        ``MOST_KEYS`` keys, dates as text.

    Raises
    ------
    duckdb.Error
        If a file is no Parquet, or lacks a column.
    """
    names = ", ".join(f'"{column}"' for column in columns)
    query = _UNSHARED.format(
        columns=names, key=", ".join(f'"{column}"' for column in key), most=MOST_KEYS
    )
    with duckdb.connect(config={"threads": 1}) as connection:
        rows = connection.execute(query, {"one": str(one), "other": str(other)}).fetchall()
    sides: tuple[Rows, Rows] = ([], [])
    for is_there, *cells in rows:
        sides[is_there].append(dict(zip(columns, map(_shown, cells), strict=True)))
    return sides


def _shown(cell: Cell | date) -> Cell:
    return cell.isoformat() if isinstance(cell, date) else cell
