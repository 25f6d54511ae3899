"""What the bench sheet sends: the rows of one run, not yet written anywhere.

In:  JSON from the page, which may hold anything.
Out: a ``Draft``; what the rows say is for intake to judge.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from trialpress.bench import READING_TABLES, Bench
from trialpress.errors import UsageError
from trialpress.intake import read_schema
from trialpress.intake.folder import date_of
from trialpress.reach import place_below

LONGEST_TEXT = 2_000
MOST_ROWS = 500


class DraftError(UsageError):
    """The page sent something that is no run."""

    def __init__(self, problem: str) -> None:
        super().__init__(f"{problem}. Nothing was written. Reload the bench sheet and try again.")


@dataclass(frozen=True)
class Draft:
    """The rows of one run: by column, without blank cells."""

    day: str
    table: str
    rows: tuple[Mapping[str, str], ...]

    @property
    def run(self) -> str:
        """The run's identifier."""
        return self.rows[0]["run"]

    def file(self, bench: Bench) -> Path:
        """The file the rows belong to."""
        return place_below(bench.days, f"{self.day}/{self.table}.csv")


def read_draft(sent: object) -> Draft:
    """Make sure of the form of what the page sent.

    Raises
    ------
    DraftError
        If it names no day folder, table or column of a bench, or is not rows of one run.
    """
    if not isinstance(sent, dict):
        raise DraftError("What was sent is no run")
    day, table, rows = sent.get("day"), sent.get("table"), sent.get("rows")
    if not isinstance(day, str) or date_of(day) is None:
        raise DraftError(f"{day} is no day folder: its name is a date and a word, 2031-03-09-hall")
    if table not in READING_TABLES:
        raise DraftError(f"{table} is no table of readings")
    if not isinstance(rows, list) or not 0 < len(rows) <= MOST_ROWS:
        raise DraftError("A run has at least one row")
    columns = read_schema(table).columns
    cells = tuple(_cells(row, columns) for row in rows)
    if len({row.get("run") for row in cells}) != 1 or "run" not in cells[0]:
        raise DraftError("The rows do not name one run")
    return Draft(day, table, cells)


def _cells(row: object, columns: Sequence[str]) -> dict[str, str]:
    if not isinstance(row, dict):
        raise DraftError("A row is no row")
    for column, text in row.items():
        if column not in columns:
            raise DraftError(f"{column} is no column of the table")
        if not isinstance(text, str) or len(text) > LONGEST_TEXT:
            raise DraftError(f"What stands in {column} is no text of up to {LONGEST_TEXT} letters")
    return {column: text.strip() for column, text in row.items() if text.strip()}
