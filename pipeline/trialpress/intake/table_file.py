"""Reading one CSV file of a table into rows of text.

In:  one table's file, as typed.
Out: its rows in the bench's form, and findings about its encoding, header, shape and what can be
     read in two ways. Whatever can be made out is handed on: the file is refused all the same, but
     its other faults are told at once.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from trialpress.intake.dialect import (
    delimiter_of,
    forms_of,
    house_name,
    house_row,
    is_blank,
    is_read,
    named_width,
    without_tail,
)
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.folder import TableFile
from trialpress.intake.nearest import nearest
from trialpress.intake.rows import Row
from trialpress.intake.schemas import TableSchema, read_schema
from trialpress.intake.spelling import Doubt, NumberForms
from trialpress.intake.textfile import read_text, split_rows

MOST_LINES = 50_000
"""More than a day's runs, or a sensor read every two seconds; each line costs time and memory."""
MOST_COLUMNS = 500
"""Far more than any table has, with a spreadsheet's own; each that is none of them is a finding."""
_NOT_READ = {"|": "vertical bars", ":": "colons"}


@dataclass(frozen=True)
class Contents:
    """What one file holds; it is not ``whole`` where a fault hides some of its rows or columns.

    ``doubts`` are findings about cells that can be read in two ways; those rows have them as typed.
    """

    rows: tuple[Row, ...]
    missing_columns: frozenset[str]
    is_whole: bool
    findings: tuple[Finding, ...]
    doubts: tuple[Finding, ...] = ()


@dataclass(frozen=True)
class _Records:
    header: tuple[str, ...]
    body: tuple[tuple[int, list[str]], ...]
    findings: tuple[Finding, ...]


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


def read_table_file(file: TableFile) -> Contents:
    """Read one file of one table; the first record is the header."""
    read = read_text(file.path, file.name)
    if read.text is None:
        return _nothing(read.findings)
    if max(read.text.count("\n"), read.text.count("\r")) > MOST_LINES:
        return _nothing((_too_large(file, "lines", MOST_LINES),))
    contents = read_contents(read.text, file)
    return replace(contents, findings=(*read.findings, *contents.findings))


def read_contents(text: str, file: TableFile) -> Contents:
    """Read what a file says, or said once; as ``read_table_file``."""
    delimiter = delimiter_of(text, read_schema(file.table).columns)
    if not is_read(delimiter):
        place, used = Place(file.name, 1), _NOT_READ[delimiter]
        return _nothing((found(FindingCode.WRONG_DELIMITER, place, delimiter, used=used),))
    split = _split(text, file, delimiter)
    if not split.header:
        return _nothing((found(FindingCode.NO_HEADER, Place(file.name, 1)),))
    if len(split.header) > MOST_COLUMNS:
        return _nothing((_too_large(file, "columns", MOST_COLUMNS),))
    header = read_header(split.header, file)
    findings, body = (*split.findings, *header.findings), split.body
    if header.is_none:
        return _nothing(findings)
    forms = forms_of(file.table, header.columns, [cells for _, cells in body], delimiter)
    rows = [_row(file, number, header, cells) for number, cells in body]
    house = [_house(row, forms) for row in rows if any(row.cells.values())]
    return Contents(
        tuple(row for row, _ in house),
        header.missing,
        is_whole=not split.findings,
        findings=(*findings, *_blank_rows(file, body), *_odd_lengths(file, header, body)),
        doubts=tuple(doubt for _, doubts in house for doubt in doubts),
    )


def _nothing(findings: tuple[Finding, ...]) -> Contents:
    """A file of which nothing can be made out."""
    return Contents((), frozenset(), is_whole=False, findings=findings)


def _too_large(file: TableFile, parts: str, most: int) -> Finding:
    """A file with more in it than any tester types."""
    place, reason = Place(file.name), f"it has more than {most:,} {parts}"
    return found(FindingCode.FILE_UNREADABLE, place, variant=parts, reason=reason)


def _split(text: str, file: TableFile, delimiter: str) -> _Records:
    """The header and what is below it, without what is blank at the end and at the right."""
    records: list[list[str]] = []
    findings: tuple[Finding, ...] = ()
    try:
        for record in split_rows(text, delimiter=delimiter, strict=True):
            records.append(record)  # noqa: PERF402, what was read before an error counts
    except csv.Error:
        place = Place(file.name, len(records) + 1)
        findings = (found(FindingCode.BROKEN_QUOTES, place),)
    header, *body = records or [[]]
    body = body[: without_tail(body)]
    width = named_width(header, body)
    cut = [record[:width] if len(record) == len(header) else record for record in body]
    return _Records(tuple(header[:width]), tuple(enumerate(cut, 2)), findings)


def _row(file: TableFile, number: int, header: Header, cells: Sequence[str]) -> Row:
    texts: dict[str, str | None] = dict.fromkeys(read_schema(file.table).columns)
    for column, cell in zip(header.columns, cells, strict=False):
        if column is not None:
            texts[column] = cell or None
    return Row(file.table, file.name, number, file.day, file.day_date, texts)


def _house(row: Row, forms: NumberForms) -> tuple[Row, list[Finding]]:
    """A row in the bench's form, and what can be read in two ways."""
    house = house_row(row.table, row.cells, forms)
    if house == row.cells:
        return row, []
    doubts = [
        found(
            FindingCode.CELL_AMBIGUOUS,
            row.place(column),
            cell.text,
            variant="" if cell.is_date else "number",
            one=cell.one,
            other=cell.other,
        )
        for column, cell in house.items()
        if isinstance(cell, Doubt)
    ]
    cells = {c: cell.text if isinstance(cell, Doubt) else cell for c, cell in house.items()}
    return replace(row, cells=cells), doubts


def _blank_rows(file: TableFile, body: Sequence[tuple[int, list[str]]]) -> Iterator[Finding]:
    """One finding for each stretch of rows with nothing in them that others follow."""
    first: int | None = None
    for number, cells in body:
        if first is None and is_blank(cells):
            first = number
        elif first is not None and not is_blank(cells):
            last = number - 1
            variant = "several" if last > first else ""
            place = Place(file.name, first)
            yield found(FindingCode.ROW_BLANK, place, variant=variant, first=first, last=last)
            first = None


def _odd_lengths(
    file: TableFile, header: Header, body: Sequence[tuple[int, list[str]]]
) -> Iterator[Finding]:
    wanted = len(header.columns)
    for number, cells in body:
        if not is_blank(cells) and len(cells) != wanted:
            variant = "long" if len(cells) > wanted else ""
            place = Place(file.name, number)
            yield found(
                FindingCode.ROW_LENGTH, place, variant=variant, cells=len(cells), wanted=wanted
            )


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
