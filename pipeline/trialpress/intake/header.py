"""Reading the header of a table's file.

In:  the cells of a file's first row.
Out: which column each of them is, and findings for those that are unknown, repeated or missing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.folder import TableFile
from trialpress.intake.nearest import nearest
from trialpress.intake.schemas import read_schema


@dataclass(frozen=True)
class Header:
    """The columns in the order of the file; ``None`` for one whose meaning is unknown.

    A misspelt name already stands for the column it was most likely meant to be, so that its
    cells are checked as well.
    """

    columns: tuple[str | None, ...]
    missing: frozenset[str]
    findings: tuple[Finding, ...]


def read_header(cells: Sequence[str], file: TableFile) -> Header:
    """Match the cells of a header with the columns of the table, by name and in any order."""
    schema = read_schema(file.table)
    columns: list[str | None] = []
    findings: list[Finding] = []
    for position, cell in enumerate(cells, 1):
        column: str | None = cell
        if cell not in schema.columns:
            free = frozenset(schema.columns) - set(cells) - set(columns)
            column = nearest(cell.strip().lower(), free)
            findings.append(_unknown(cell, position, file, column))
        elif cell in columns:
            column = None
            findings.append(found(FindingCode.COLUMN_REPEATED, Place(file.name, 1, cell), cell))
        columns.append(column)
    needed = [field.name for field in schema.fields if field.required or field.blank_until_run]
    findings += [
        found(
            FindingCode.COLUMN_MISSING,
            Place(file.name, 1, name),
            meaning=schema.field(name).meaning,
        )
        for name in needed
        if name not in columns
    ]
    absent = frozenset(schema.columns) - set(columns)
    return Header(tuple(columns), absent, tuple(findings))


def _unknown(cell: str, position: int, file: TableFile, near: str | None) -> Finding:
    is_blank = not cell.strip()
    return found(
        FindingCode.COLUMN_UNKNOWN,
        Place(file.name, 1, cell.strip() or None),
        cell,
        variant="blank" if is_blank else "nearest" if near else "",
        position=position,
        nearest=near,
        table=file.table,
    )
