"""One row of one table, as text.

In:  a row's cells by column.
Out: ``Row``, which knows where it stands and what its key is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from trialpress.intake.findings import Place
from trialpress.intake.schemas import read_schema


@dataclass(frozen=True)
class Row:
    """One row of a file; every column of its table has a cell, ``None`` where it is blank.

    ``number`` is the row as a spreadsheet shows it. ``day`` and ``day_date`` come from the name of
    the day's folder.
    """

    table: str
    file: str
    number: int
    day: str | None
    day_date: date | None
    cells: Mapping[str, str | None]

    @property
    def key(self) -> tuple[str | None, ...]:
        """The text of the key columns."""
        return self.texts(read_schema(self.table).key)

    def texts(self, columns: tuple[str, ...]) -> tuple[str | None, ...]:
        """The text of some columns."""
        return tuple(self.cells[column] for column in columns)

    def place(self, column: str | None = None) -> Place:
        """Where the row, or one of its cells, stands."""
        return Place(self.file, self.number, column)
