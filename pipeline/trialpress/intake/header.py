"""Reading the header of a table's file.

In:  the cells of a file's first row.
Out: which column each of them is, and findings for those that are unknown, repeated or missing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trialpress.intake.dialect import house_name
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.folder import TableFile
from trialpress.intake.nearest import nearest
from trialpress.intake.schemas import TableSchema, read_schema


@dataclass(frozen=True)
class Header:
    """The columns in the order of the file; ``None`` for one whose meaning is unknown.

    A misspelt name already stands for the column it was most likely meant to be, so that its
    cells are checked as well.
    """

    columns: tuple[str | None, ...]
    missing: frozenset[str]
    findings: tuple[Finding, ...]

    @property
    def is_none(self) -> bool:
        """Whether it is no header at all, but a row of something else."""
        return not any(self.columns)


def read_header(cells: Sequence[str], file: TableFile) -> Header:
    """Match the cells of a header with the columns of the table, by name and in any order."""
    schema = read_schema(file.table)
    names = [house_name(cell) for cell in cells]
    if not set(names).intersection(schema.columns) and not _is_misspelt(names, schema):
        return _no_header(file, schema)
    columns: list[str | None] = []
    findings: list[Finding] = []
    for position, (cell, name) in enumerate(zip(cells, names, strict=True), 1):
        column: str | None = name
        if name not in schema.columns:
            free = frozenset(schema.columns) - set(names) - set(columns)
            column = nearest(name, free)
            findings.append(_unknown(cell, position, file, column))
        elif name in columns:
            column = None
            findings.append(found(FindingCode.COLUMN_REPEATED, Place(file.name, 1, name), name))
        columns.append(column)
    findings += [
        found(
            FindingCode.COLUMN_MISSING,
            Place(file.name, 1, name),
            meaning=schema.field(name).meaning,
        )
        for name in _needed(schema)
        if name not in columns
    ]
    absent = frozenset(schema.columns) - set(columns)
    return Header(tuple(columns), absent, tuple(findings))


def _needed(schema: TableSchema) -> list[str]:
    return [field.name for field in schema.fields if field.required or field.blank_until_run]


def _is_misspelt(names: Sequence[str], schema: TableSchema) -> bool:
    """Whether most names look like a column of their own; a cell of a row may by chance."""
    near = {nearest(name, frozenset(schema.columns)) for name in names} - {None}
    return 2 * len(near) > len(names)


def _no_header(file: TableFile, schema: TableSchema) -> Header:
    """One finding in place of one for every column that is not there."""
    finding = found(
        FindingCode.NO_HEADER,
        Place(file.name, 1),
        variant="unknown",
        table=file.table,
        needed=",".join(_needed(schema)),
    )
    return Header((), frozenset(schema.columns), (finding,))


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
