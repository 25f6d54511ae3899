"""The layout of a sheet brought to the plain one: a header of one row, a run in each row.

In:  a sheet with a header of several rows, a column for each protocol, run or zone, cells left
     blank that mean the one above, a name in two columns; what the mapping says of that.
Out: the same as one header and rows below it. No cell is changed, none is made up.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from trialpress.desk.adopt.cells import is_total
from trialpress.desk.adopt.headers import MEASURED, plain_header, unit_in
from trialpress.desk.adopt.mapping import Mapping, Wide, match_header
from trialpress.desk.adopt.spreadsheet import RawRow, Worksheet

LOOK_FOR_HEADER = 20


@dataclass(frozen=True)
class SpreadColumn:
    """A column of a wide table: its word for what it becomes, and what its cells are."""

    header: str
    word: str
    content: str


@dataclass(frozen=True)
class PlainSheet:
    """A sheet in the plain layout; ``totals`` are rows that sum up others, passed over."""

    header_row: int
    header: tuple[str, ...]
    rows: tuple[RawRow, ...]
    spread: tuple[SpreadColumn, ...]
    blank_rows: int
    totals: tuple[RawRow, ...]


def plain_sheet(sheet: Worksheet, mapping: Mapping) -> PlainSheet | None:
    """Bring a sheet to the plain layout; None where no row looks like a header."""
    found = find_header(sheet, mapping)
    if found is None:
        return None
    first, header = found
    last = first + mapping.header_rows - 1
    body = [row for row in sheet.rows if row.number > last]
    filled = [row for row in body if not row.is_blank]
    totals = [row for row in filled if _sums_up(row, header, mapping)]
    rows = [row for row in filled if row not in totals]
    rows = _filled_down(rows, header, mapping)
    header, rows, spread = _narrow(header, rows, mapping.wide)
    return PlainSheet(first, header, tuple(rows), spread, len(body) - len(filled), tuple(totals))


def find_header(sheet: Worksheet, mapping: Mapping) -> tuple[int, tuple[str, ...]] | None:
    """The number of its first row and its text; as the mapping says, else the likeliest row."""
    if mapping.header_row is not None:
        rows = sheet.rows[mapping.header_row - 1 :][: mapping.header_rows]
        return (mapping.header_row, joined_header(rows)) if rows else None
    candidates = [
        (row.number, joined_header(sheet.rows[i : i + mapping.header_rows]))
        for i, row in enumerate(sheet.rows[:LOOK_FOR_HEADER])
    ]
    best = max(candidates, key=lambda found: len(match_header(found[1], mapping)), default=None)
    return best if best is not None and len(match_header(best[1], mapping)) > 1 else None


def joined_header(rows: Sequence[RawRow]) -> tuple[str, ...]:
    """Header rows as one: a word above several columns is above each of them.

    Without merged cells to go by, a word is carried to the right as long as what stands below
    stands below other words too: ``note`` at the end of the table is nobody's.
    """
    if len(rows) == 1:
        return rows[0].cells
    upper, below = rows[0].cells, joined_header(rows[1:])
    width = max(len(upper), len(below))
    upper = upper + ("",) * (width - len(upper))
    below = below + ("",) * (width - len(below))
    often = Counter(plain_header(text) for text in below if text)
    joined, word = list[str](), ""
    for above, text in zip(upper, below, strict=True):
        is_carried = bool(text) and often[plain_header(text)] > 1
        word = above or (word if is_carried else "")
        joined.append(" ".join(dict.fromkeys(part for part in (word, text) if part)))
    return tuple(joined)


def _sums_up(row: RawRow, header: tuple[str, ...], mapping: Mapping) -> bool:
    """Whether a row has no date and begins with a word for a total."""
    date = next((c.text(row) for c in match_header(header, mapping) if c.name == "at"), "")
    return (not date or is_total([date])) and is_total(row.cells)


def _filled_down(rows: list[RawRow], header: tuple[str, ...], mapping: Mapping) -> list[RawRow]:
    """Blank cells of the columns that the mapping names, as the one above."""
    columns = [c for c in match_header(header, mapping) if c.name in mapping.fill_down]
    indexes = [index for column in columns for index in column.indexes]
    above: dict[int, str] = {}
    filled = []
    for row in rows:
        cells = [*row.cells, *[""] * (len(header) - len(row.cells))]
        for index in indexes:
            above[index] = cells[index] = cells[index] or above.get(index, "")
        filled.append(replace(row, cells=tuple(cells)) if indexes else row)
    return filled


def _narrow(
    header: tuple[str, ...], rows: list[RawRow], wide: Wide | None
) -> tuple[tuple[str, ...], list[RawRow], tuple[SpreadColumn, ...]]:
    """A row for each word of a wide table, with the columns that stand below that word."""
    if wide is None:
        return header, rows, ()
    spread = {i: found for i, text in enumerate(header) if (found := spread_column(text, wide))}
    kept = [i for i in range(len(header)) if i not in spread]
    contents = list(dict.fromkeys(column.content for column in spread.values()))
    words = list(dict.fromkeys(column.word for column in spread.values()))
    narrow = (wide.becomes, *(header[i] for i in kept), *contents)
    made = []
    for row in rows:
        cells = [*row.cells, *[""] * (len(header) - len(row.cells))]
        for word in words:
            own = {
                column.content: _with_unit(cells[i], column.header)
                for i, column in spread.items()
                if column.word == word and cells[i]
            }
            if own:
                values = (wide.columns.get(word, word), *(cells[i] for i in kept))
                full = (*values, *(own.get(content, "") for content in contents))
                made.append(RawRow(row.number, full, word))
    return narrow, made, tuple(spread.values())


def spread_column(header: str, wide: Wide) -> SpreadColumn | None:
    """What a column of a wide table is, if it is one: its word, and the rest of its header."""
    plain = plain_header(header)
    for word in sorted(wide.columns, key=lambda key: (-len(key), key)):
        known = plain_header(word)
        if plain == known:
            return SpreadColumn(header, word, MEASURED)
        if known and plain.startswith(f"{known} "):
            return SpreadColumn(header, word, plain.removeprefix(f"{known} "))
        if known and plain.endswith(f" {known}"):
            return SpreadColumn(header, word, plain.removesuffix(f" {known}"))
    return None


def _with_unit(text: str, header: str) -> str:
    """A figure with the unit of its column, which may not be that of the next one."""
    unit = unit_in(header)
    return f"{text} {unit}" if unit and text[-1:].isdigit() else text
