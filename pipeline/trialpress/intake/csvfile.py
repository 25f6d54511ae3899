"""Reading one CSV file into rows of text.

In:  one table's file, as typed.
Out: its rows, and findings about its encoding, header and shape. Whatever can be made out is
     handed on: the file is refused all the same, but its other faults are told at once.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.folder import TableFile
from trialpress.intake.header import Header, read_header
from trialpress.intake.rows import Row
from trialpress.intake.schemas import read_schema
from trialpress.intake.textfile import read_text, split_rows

_OTHER_DELIMITERS = {";": "semicolons", "\t": "tabs", "|": "vertical bars"}


@dataclass(frozen=True)
class Contents:
    """What one file holds; it is not ``whole`` where a fault hides some of its rows or columns."""

    rows: tuple[Row, ...]
    missing_columns: frozenset[str]
    is_whole: bool
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class _Records:
    records: tuple[list[str], ...]
    findings: tuple[Finding, ...]


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
    return Contents(
        tuple(_row(file, number, header, cells) for number, cells in body if any(cells)),
        header.missing,
        is_whole=not split.findings,
        findings=(
            *read.findings,
            *split.findings,
            *header.findings,
            *_blank_rows(file, body),
            *_odd_lengths(file, header, body),
        ),
    )


def _split(text: str, file: TableFile) -> _Records:
    """Split at commas, or at what stands in their place in the header, which is a finding."""
    header = text.split("\n", 1)[0]
    columns = set(read_schema(file.table).columns)
    for delimiter, name in _OTHER_DELIMITERS.items():
        cells = {cell.strip(' "\r') for cell in header.split(delimiter)}
        if len(cells) > 1 and "," not in header and cells & columns:
            wrong = found(FindingCode.WRONG_DELIMITER, Place(file.name, 1), delimiter, used=name)
            return _parse(text, file, delimiter, (wrong,))
    return _parse(text, file, ",", ())


def _parse(text: str, file: TableFile, delimiter: str, findings: tuple[Finding, ...]) -> _Records:
    records: list[list[str]] = []
    try:
        for record in split_rows(text, delimiter=delimiter, strict=True):
            records.append(record)  # noqa: PERF402, what was read before an error counts
    except csv.Error:
        place = Place(file.name, len(records) + 1)
        findings = (*findings, found(FindingCode.BROKEN_QUOTES, place))
    return _Records(tuple(records), findings)


def _row(file: TableFile, number: int, header: Header, cells: Sequence[str]) -> Row:
    texts: dict[str, str | None] = dict.fromkeys(read_schema(file.table).columns)
    for column, cell in zip(header.columns, cells, strict=False):
        if column is not None:
            texts[column] = cell or None
    return Row(file.table, file.name, number, file.day, file.day_date, texts)


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
