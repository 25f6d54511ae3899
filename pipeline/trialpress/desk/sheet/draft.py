"""What the bench sheet sends, the rows of one run, and their place in the file of their day.

In:  JSON from the page, which may hold anything; the day's file, or the place for one.
Out: a ``Draft``, of which intake judges what it says; the bytes the file is to have, planned rows
     filled in their place and new ones at the end, and which of its rows are the draft's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from trialpress.bench import READING_COLUMNS, READING_TABLES, Bench
from trialpress.desk.append import TableText, joined, read_table_text, started
from trialpress.errors import FaultyDataError, UsageError
from trialpress.intake import read_schema
from trialpress.intake.folder import date_of
from trialpress.paths import place_below

GRADER = "grader-1"
"""Who grades a planned run, until somebody does."""
LONGEST_TEXT = 2_000
MOST_ROWS = 500


class DraftError(UsageError):
    """The page sent something that is no run."""

    def __init__(self, problem: str) -> None:
        super().__init__(f"{problem}. Nothing was written. Reload the bench sheet and try again.")


class RunTypedError(FaultyDataError):
    """The run has been typed already, with other readings."""

    def __init__(self, run: str, file: Path, row: int) -> None:
        super().__init__(
            f"{run} stands in {file.name}, row {row}, already and says something else. Nothing was "
            "written. Choose another run; what is typed is changed by trialpress correct."
        )


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


@dataclass(frozen=True)
class Filled:
    """``rows`` are counted as a spreadsheet shows them; ``is_new`` is false where all was there.

    ``before`` is what the file held, None where there was none.
    """

    file: Path
    before: bytes | None
    data: bytes
    rows: frozenset[int]
    is_new: bool


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


def fill(file: Path, draft: Draft) -> Filled:
    """Put a draft into its file; nothing is written.

    Raises
    ------
    RunTypedError
        If a row of the run is there that is neither planned nor the same.
    NoSuchColumnError, UnreadableTableError
        If the file has no place for the rows.
    """
    there = read_table_text(file)
    table = there or started(file, read_schema(draft.table).columns)
    texts, added, rows = list(table.texts), list[str](), set[int]()
    for row in draft.rows:
        place = _place_of(table, read_schema(draft.table).key, row)
        if place is None:
            added.append(table.row_text(row))
            rows.add(table.end + len(added))
        else:
            rows.add(place + 1)
            texts[place] = _filled(table, place, row)
    data = joined(texts, added, table)
    is_new = bool(added) or texts != list(table.texts)
    return Filled(file, there.data if there else None, data, frozenset(rows), is_new=is_new)


def _place_of(table: TableText, key: tuple[str, ...], row: Mapping[str, str]) -> int | None:
    """The record with the key of a row; else one that is planned for a grader without a name."""
    wanted = [row.get(column) for column in key]
    planned = None
    for i in range(1, len(table.records)):
        cells = table.house_row(i)
        if [cells.get(column) for column in key] == wanted:
            return i
        is_same_zone = [cells.get(column) for column in key[:-1]] == wanted[:-1]
        if is_same_zone and cells.get("grader") == GRADER and cells.get("status") == "planned":
            planned = i
    return planned if key[-1] == "grader" else None


def _filled(table: TableText, place: int, row: Mapping[str, str]) -> str:
    """The text of a planned row with what was typed; of one typed already, its own text."""
    cells = table.house_row(place)
    if cells.get("status") == "planned":
        # What a planned row says of a reading is the aim, never the reading.
        kept = {
            column: cell if isinstance(cell, str) else cell.text
            for column, cell in cells.items()
            if column not in READING_COLUMNS[table.table]
        }
        text = table.row_text({**kept, **row})
        return text if table.texts[place].endswith(("\n", "\r")) else text.rstrip("\r\n")
    if {column: text for column, text in cells.items() if text} != dict(row):
        raise RunTypedError(row["run"], table.file, place + 1)
    return table.texts[place]
