"""What intake hands to the store: every table as typed and as corrected, in frames.

In:  rows that were read, checked and corrected.
Out: ``CheckedBench`` with a ``Table`` for each table of the bench, also where it has no row.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from trialpress.bench import Settings
from trialpress.intake.findings import Finding
from trialpress.intake.rows import Row, Tables
from trialpress.intake.schemas import read_schema
from trialpress.words import ENGLISH, Language

if TYPE_CHECKING:
    import pandas as pd

# Not "file" and "row": photos has a column `file`, corrections a column `row`.
SOURCE_COLUMNS = ("source_file", "source_row", "day", "day_date")


@dataclass(frozen=True)
class Table:
    """All rows of one table, from all its files.

    Both frames have the same rows in the same order (files sorted by path), every column of the
    schema as text with ``None`` for blank, and ``SOURCE_COLUMNS`` after them: ``source_file``
    relative to the bench, ``source_row`` as a spreadsheet shows it (the header is 1), ``day`` the
    day's folder name and ``day_date`` its date (both ``None`` outside the days).
    """

    name: str
    as_typed: pd.DataFrame
    corrected: pd.DataFrame


@dataclass(frozen=True)
class CheckedBench:
    """A bench without errors.

    ``as_of`` says which corrections are applied and on which days the rules were checked; the
    tables hold all rows whatever it says. ``None`` means everything. ``findings`` are warnings;
    ``language`` is what the pages are written in.
    """

    settings: Settings
    as_of: date | None
    tables: Mapping[str, Table]
    methods: Mapping[str, str]
    findings: tuple[Finding, ...]
    language: Language = ENGLISH


def build_tables(typed: Tables, corrected: Tables) -> Mapping[str, Table]:
    """Put the rows of every table into frames; one frame does for both where none is corrected."""
    tables = {}
    for table, rows in typed.items():
        as_typed = _frame(table, rows)
        is_corrected = corrected[table] != rows
        now = _frame(table, corrected[table]) if is_corrected else as_typed
        tables[table] = Table(table, as_typed, now)
    return tables


def _frame(table: str, rows: Sequence[Row]) -> pd.DataFrame:
    import numpy as np  # noqa: PLC0415, with pandas
    import pandas as pd  # noqa: PLC0415, it takes half a second to import

    schema = read_schema(table).columns
    columns = [*schema, *SOURCE_COLUMNS]
    cells = np.empty((len(rows), len(columns)), dtype=object)
    for i, row in enumerate(rows):
        cells[i] = (*row.texts(schema), row.file, row.number, row.day, _iso(row))
    # Through one array: column by column, or by a change of type, it takes eight times as long.
    frame = pd.DataFrame(cells, columns=columns, dtype=object, copy=False)
    frame["source_row"] = np.array([row.number for row in rows], dtype=np.int64)
    return frame


def _iso(row: Row) -> str | None:
    return None if row.day_date is None else row.day_date.isoformat()
