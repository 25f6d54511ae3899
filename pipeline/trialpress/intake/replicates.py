"""Replicate numbers: the next free one where none was typed.

In:  rows of the reading tables as corrected.
Out: the same rows, each run of a set-up and protocol version with a number of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import count

from trialpress.bench import READING_TABLES
from trialpress.intake.rows import Row, Tables

Cell = tuple[str | None, ...]
CELL_COLUMNS = ("setup", "protocol", "version")


def number_replicates(
    tables: Tables, as_of: date | None, hidden: frozenset[str] = frozenset()
) -> Mapping[str, tuple[Row, ...]]:
    """Give every run that has no replicate number the next free one.

    Parameters
    ----------
    tables : mapping of table name to rows
        All tables as corrected.
    as_of : date or None
        Runs of later days neither get nor take a number; ``None``: all of them do.
    hidden : frozenset of str
        Runs under embargo, which do not either.

    Returns
    -------
    mapping of table name to rows
        The same rows in the same order. Numbers are free within a set-up and protocol version, and
        are given by time, then by the order of files and rows. A void run has one; a planned run
        has none, as nobody knows yet when it will be made.
    """
    seen = [row for table in READING_TABLES for row in tables[table] if _counts(row, as_of, hidden)]
    numbers = dict(_given(sorted(seen, key=_time)))
    return {
        table: tuple(_numbered(row, numbers) for row in rows)
        if table in READING_TABLES
        else tuple(rows)
        for table, rows in tables.items()
    }


def _counts(row: Row, as_of: date | None, hidden: frozenset[str]) -> bool:
    is_later = as_of is not None and row.day_date is not None and row.day_date > as_of
    is_hidden = is_later or row.cells["run"] in hidden
    return row.cells["status"] != "planned" and not is_hidden


def _time(row: Row) -> tuple[str, str, int]:
    return (row.cells["at"] or "", row.file, row.number)


def _run(row: Row) -> tuple[str | None, ...]:
    return (row.table, row.day, row.cells["run"])


def _given(rows: Sequence[Row]) -> Iterator[tuple[tuple[str | None, ...], str]]:
    """Runs without a number, and the one each gets; rows are in the order of time."""
    taken: dict[Cell, set[str | None]] = {}
    for row in rows:
        taken.setdefault(row.texts(CELL_COLUMNS), set()).add(row.cells["replicate"])
    numbered = {_run(row) for row in rows if row.cells["replicate"] is not None}
    for row in rows:
        if _run(row) not in numbered:
            used = taken[row.texts(CELL_COLUMNS)]
            number = next(str(number) for number in count(1) if str(number) not in used)
            used.add(number)
            numbered.add(_run(row))
            yield _run(row), number


def _numbered(row: Row, numbers: Mapping[tuple[str | None, ...], str]) -> Row:
    number = numbers.get(_run(row)) if row.cells["replicate"] is None else None
    if number is None:
        return row
    cells = {**row.cells, "replicate": number}
    return Row(row.table, row.file, row.number, row.day, row.day_date, cells)
