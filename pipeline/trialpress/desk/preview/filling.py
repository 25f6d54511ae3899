"""A draft put into the file of its day: planned rows in their place, new ones at the end.

In:  the day's file, or the place for one, and a draft.
Out: the bytes the file is to have, and which of its rows are the draft's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from trialpress.desk.append import TableText, joined, read_table_text, started
from trialpress.desk.preview.draft import Draft
from trialpress.errors import FaultyDataError
from trialpress.intake import read_schema

# What a planned row says here is the aim, never a reading.
READINGS = (
    "dose_g",
    "before_g",
    "after_g",
    "gain_g",
    "blank_g",
    "value",
    "hits",
    "tries",
    "grade",
)


class RunTypedError(FaultyDataError):
    """The run has been typed already, with other readings."""

    def __init__(self, run: str, file: Path, row: int) -> None:
        super().__init__(
            f"{run} stands in {file.name}, row {row}, already and says something else. Nothing was "
            "written. Choose another run; what is typed is changed by trialpress correct."
        )


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
    wanted = [row.get(column) for column in key]
    for i in range(1, len(table.records)):
        cells = table.house_row(i)
        if [cells.get(column) for column in key] == wanted:
            return i
    return None


def _filled(table: TableText, place: int, row: Mapping[str, str]) -> str:
    """The text of a planned row with what was typed; of one typed already, its own text."""
    cells = table.house_row(place)
    if cells.get("status") == "planned":
        kept = {
            column: cell if isinstance(cell, str) else cell.text
            for column, cell in cells.items()
            if column not in READINGS
        }
        text = table.row_text({**kept, **row})
        return text if table.texts[place].endswith(("\n", "\r")) else text.rstrip("\r\n")
    if {column: text for column, text in cells.items() if text} != dict(row):
        raise RunTypedError(row["run"], table.file, place + 1)
    return table.texts[place]
