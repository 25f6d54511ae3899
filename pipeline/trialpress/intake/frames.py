"""Tables as frames, the form the store takes them in.

In:  rows as typed and as corrected.
Out: a ``Table`` for each table of the bench, also where it has no row.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from trialpress.intake.checked import SOURCE_COLUMNS, Table
from trialpress.intake.rows import Row
from trialpress.intake.schemas import read_schema
from trialpress.intake.screening import Tables

if TYPE_CHECKING:
    import pandas as pd


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
