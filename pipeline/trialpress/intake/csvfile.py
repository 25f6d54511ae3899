"""Reading one CSV file into rows of text.

In:  one table's file, as typed.
Out: its rows, and findings about its encoding, header and shape. Whatever can be made out is
     handed on: the file is refused all the same, but its other faults are told at once.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.folder import TableFile
from trialpress.intake.header import Header, read_header
from trialpress.intake.rows import Row
from trialpress.intake.schemas import Field, read_schema
from trialpress.intake.spelling import house_form, is_ambiguous, is_spelled, writes_decimal_commas
from trialpress.intake.textfile import read_text, split_rows

SEMICOLON = ";"
_OTHER_DELIMITERS = {SEMICOLON: "semicolons", "\t": "tabs", "|": "vertical bars"}


@dataclass(frozen=True)
class Contents:
    """What one file holds; it is not ``whole`` where a fault hides some of its rows or columns."""

    rows: tuple[Row, ...]
    missing_columns: frozenset[str]
    is_whole: bool
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class Reading:
    """A file split into cells as they were typed; the first record is the header."""

    text: str
    records: tuple[list[str], ...]
    findings: tuple[Finding, ...]
    delimiter: str


def read_records(file: TableFile) -> Reading | None:
    """Split one file into cells; None where it is not UTF-8 or its quotes are odd."""
    read = read_text(file.path, file.name)
    if read.text is None or read.findings:
        return None
    split = _split(read.text, file)
    return None if split.findings or not split.records else split


def read_table_file(file: TableFile) -> Contents:
    """Read one file of one table; the first record is the header."""
    read = read_text(file.path, file.name)
    if read.text is None:
        return Contents((), frozenset(), is_whole=False, findings=read.findings)
    split = _split(read.text, file)
    if not split.records:
        finding = found(FindingCode.NO_HEADER, Place(file.name, 1))
        return Contents((), frozenset(), is_whole=False, findings=(*read.findings, finding))
    header = read_header(split.records[0], file)
    body = [(number, cells) for number, cells in enumerate(split.records[1:], 2)]
    while body and not any(body[-1][1]):
        body.pop()  # a spreadsheet leaves blank rows at the end
    rows = tuple(_row(file, number, header, cells) for number, cells in body if any(cells))
    spelled, unclear = _spelled(rows, split.delimiter)
    return Contents(
        spelled,
        header.missing,
        is_whole=not split.findings,
        findings=(
            *read.findings,
            *split.findings,
            *header.findings,
            *_blank_rows(file, body),
            *_odd_lengths(file, header, body),
            *unclear,
        ),
    )


def _split(text: str, file: TableFile) -> Reading:
    """Split at commas, or at what stands in their place in the header.

    Semicolons are what spreadsheets write where decimals have a comma; anything else is a finding.
    """
    header = text.split("\n", 1)[0]
    columns = set(read_schema(file.table).columns)
    for delimiter, name in _OTHER_DELIMITERS.items():
        cells = {cell.strip(' "\r') for cell in header.split(delimiter)}
        if len(cells) > 1 and "," not in header and cells & columns:
            wrong = found(FindingCode.WRONG_DELIMITER, Place(file.name, 1), delimiter, used=name)
            return _parse(text, file, delimiter, () if delimiter == SEMICOLON else (wrong,))
    return _parse(text, file, ",", ())


def _parse(text: str, file: TableFile, delimiter: str, findings: tuple[Finding, ...]) -> Reading:
    records: list[list[str]] = []
    try:
        for record in split_rows(text, delimiter=delimiter, strict=True):
            records.append(record)  # noqa: PERF402, what was read before an error counts
    except csv.Error:
        place = Place(file.name, len(records) + 1)
        findings = (*findings, found(FindingCode.BROKEN_QUOTES, place))
    return Reading(text, tuple(records), findings, delimiter)


def _row(file: TableFile, number: int, header: Header, cells: Sequence[str]) -> Row:
    texts: dict[str, str | None] = dict.fromkeys(read_schema(file.table).columns)
    for column, cell in zip(header.columns, cells, strict=False):
        if column is not None:
            texts[column] = cell or None
    return Row(file.table, file.name, number, file.day, file.day_date, texts)


def _spelled(rows: Sequence[Row], delimiter: str) -> tuple[tuple[Row, ...], list[Finding]]:
    """The rows in the house form, and findings for numbers that can mean two things."""
    if not rows:
        return (), []
    fields = [field for field in read_schema(rows[0].table).fields if is_spelled(field)]
    typed = [(row, field, row.cells[field.name]) for row in rows for field in fields]
    cells = [(row, field, text) for row, field, text in typed if text is not None]
    has_commas = delimiter == SEMICOLON and writes_decimal_commas(
        (text, field) for _, field, text in cells
    )
    unclear = [
        found(FindingCode.NUMBER_AMBIGUOUS, row.place(field.name), text)
        for row, field, text in cells
        if has_commas and is_ambiguous(text, field)
    ]
    return tuple(_in_house_form(row, fields, has_commas=has_commas) for row in rows), unclear


def _in_house_form(row: Row, fields: Sequence[Field], *, has_commas: bool) -> Row:
    """The same row where every cell has the house form already, as nearly all have."""
    changed = {
        field.name: house
        for field in fields
        if (text := row.cells[field.name]) is not None
        and (house := house_form(text, field, has_decimal_commas=has_commas)) != text
    }
    return replace(row, cells={**row.cells, **changed}) if changed else row


def _blank_rows(file: TableFile, body: Sequence[tuple[int, list[str]]]) -> Iterator[Finding]:
    """One finding for each stretch of rows with nothing in them."""
    first: int | None = None
    for number, cells in [*body, (len(body) + 2, ["end"])]:
        if first is None and not any(cells):
            first = number
        elif first is not None and any(cells):
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
        if any(cells) and len(cells) != wanted:
            variant = "long" if len(cells) > wanted else ""
            place = Place(file.name, number)
            yield found(
                FindingCode.ROW_LENGTH, place, variant=variant, cells=len(cells), wanted=wanted
            )
