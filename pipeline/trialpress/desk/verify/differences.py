"""Two tables that should be one, cell by cell.

In:  rows of text or of values, each by the table's key.
Out: every difference: table, row, column and both values.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

Cell = str | int | float | bool | None
Rows = Mapping[str, Mapping[str, Cell]]
NO_ROW = "(whole row)"


@dataclass(frozen=True)
class Difference:
    """One cell, or a row that one side lacks, with what either side says."""

    table: str
    row: str
    column: str
    here: str
    there: str
    sides: tuple[str, str]

    @property
    def text(self) -> str:
        """The difference in a line."""
        return (
            f"{self.table}, row {self.row}, {self.column}: "
            f"{self.here} {self.sides[0]}, {self.there} {self.sides[1]}"
        )


def keyed(rows: Sequence[Mapping[str, Cell]], key: Sequence[str]) -> dict[str, Mapping[str, Cell]]:
    """Rows by the texts of their key; of two with one key the later is numbered."""
    found: dict[str, Mapping[str, Cell]] = {}
    counts = Counter[str]()
    for row in rows:
        name = again = "|".join(_shown(row.get(column)) for column in key)
        while again in found:
            counts[name] += 1
            again = f"{name} ({counts[name] + 1})"
        found[again] = row
    return found


def differences(table: str, one: Rows, other: Rows, sides: tuple[str, str]) -> Iterator[Difference]:
    """Every difference between two forms of a table, in the columns that both have."""
    for name in sorted({*one, *other}):
        if name not in one or name not in other:
            there = ("missing", "there") if name not in one else ("there", "missing")
            yield Difference(table, name, NO_ROW, *there, sides)
            continue
        for column, cell in one[name].items():
            if column in other[name] and other[name][column] != cell:
                shown = _shown(cell), _shown(other[name][column])
                yield Difference(table, name, column, *shown, sides)


def _shown(cell: Cell) -> str:
    return "blank" if cell is None or cell == "" else str(cell)
