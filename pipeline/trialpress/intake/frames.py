"""Tables as frames, the form the store takes them in.

In:  rows as typed and as corrected.
Out: a ``Table`` for each table of the bench, also where it has no row.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from trialpress.intake.checked import SOURCE_COLUMNS, Table
from trialpress.intake.rows import Row
from trialpress.intake.schema_check import Tables
from trialpress.intake.schemas import read_schema

if TYPE_CHECKING:
    import pandas as pd


def build_tables(typed: Tables, corrected: Tables) -> Mapping[str, Table]:
    """Put the rows of every table into frames."""
    return {
        table: Table(table, _frame(table, rows), _frame(table, corrected[table]))
        for table, rows in typed.items()
    }


def _frame(table: str, rows: Sequence[Row]) -> pd.DataFrame:
    import pandas as pd  # noqa: PLC0415, it takes half a second to import

    columns = read_schema(table).columns
    records = [(*row.texts(columns), row.file, row.number, row.day, _iso(row)) for row in rows]
    frame = pd.DataFrame(records, columns=[*columns, *SOURCE_COLUMNS], dtype=object)
    return frame.astype({"source_row": "int64"})


def _iso(row: Row) -> str | None:
    return None if row.day_date is None else row.day_date.isoformat()
