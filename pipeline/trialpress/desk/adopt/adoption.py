"""One file to adopt: understood, numbered, tried out on a copy of the bench.

In:  a file, a mapping, a bench without faults.
Out: an ``Adoption``. Every row is in it once: to adopt, adopted already, or refused with a reason.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from trialpress.bench import READING_TABLES, Bench
from trialpress.desk.adopt.catalogue import read_catalogue
from trialpress.desk.adopt.mapping import Mapping
from trialpress.desk.adopt.obstacles import Obstacle, Origin, RefusalReason, RefusedRow
from trialpress.desk.adopt.provenance import (
    AdoptedRow,
    NumberedRow,
    number_runs,
    read_provenance,
)
from trialpress.desk.adopt.spreadsheet import Spreadsheet, read_spreadsheet
from trialpress.desk.adopt.understanding import (
    ReadSheet,
    UnderstoodRow,
    understand,
)
from trialpress.desk.append import append_rows, read_table_text
from trialpress.desk.bench_copy import copied_bench, findings_of
from trialpress.errors import UsageError
from trialpress.intake import (
    CheckedBench,
    Finding,
    Severity,
    read_bench,
    read_schema,
)
from trialpress.intake.cells import is_formula
from trialpress.paths import place_below

CHANGED = "it was adopted with other values: correct that row with trialpress correct"
NAME_TAKEN = "the bench has a run of that name already"


class NoSuchSheetError(UsageError):
    """The workbook has no sheet of that name."""

    def __init__(self, name: str, spreadsheet: Spreadsheet) -> None:
        known = ", ".join(sheet.name for sheet in spreadsheet.sheets if sheet.name)
        choose = f"Choose from: {known}." if known else "A text file has no sheets: name none."
        super().__init__(f"{spreadsheet.file} has no sheet {name}. {choose}")


class FormulaNameError(UsageError):
    """The file or a sheet has a name that a spreadsheet would run."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name} is a name that a spreadsheet would run as a formula, and data/adopted/"
            "provenance.csv says where each row came from. Give it another name."
        )


@dataclass(frozen=True)
class AdoptionRequest:
    """What is to be adopted."""

    file: Path
    mapping: Mapping


@dataclass(frozen=True)
class Adoption:
    """What would be, or was, adopted; ``findings`` are warnings about the new rows."""

    spreadsheet: Spreadsheet
    sheets: tuple[ReadSheet, ...]
    rows: tuple[NumberedRow, ...]
    already: tuple[Origin, ...]
    refused: tuple[RefusedRow, ...]
    remarks: tuple[tuple[Origin, str], ...]
    findings: tuple[Finding, ...]
    promised: frozenset[tuple[str, str]]


def adopt(bench: Bench, request: AdoptionRequest) -> Adoption:
    """Understand a file; nothing is written.

    Raises
    ------
    FaultyBenchError
        If the bench has faults before anything is added.
    UsageError
        If the file or its mapping cannot be used.
    """
    return adopt_read(bench, request, read_spreadsheet(request.file, request.mapping.encoding))


def adopt_read(bench: Bench, request: AdoptionRequest, spreadsheet: Spreadsheet) -> Adoption:
    """Understand a file that has been read; as ``adopt``."""
    for name in (spreadsheet.file.name, *(sheet.name for sheet in spreadsheet.sheets)):
        if name and is_formula(name):
            raise FormulaNameError(name)
    checked = read_bench(bench, None)
    sheets = understand(spreadsheet, request.mapping, read_catalogue(checked))
    if request.mapping.sheet is not None and not sheets:
        raise NoSuchSheetError(request.mapping.sheet, spreadsheet)
    read = [row for sheet in sheets for row in sheet.rows]
    sorting = _sort(read, checked, read_provenance(bench), spreadsheet.file.name)
    rows, tried, findings = _try_out(bench, checked, sorting, request.mapping.word)
    refused = [row for row in read if isinstance(row, RefusedRow)] + sorting.refused + tried
    adopted = {row.origin for row in rows}
    return Adoption(
        spreadsheet,
        sheets,
        rows,
        tuple(sorting.already),
        tuple(sorted(refused, key=lambda row: (row.origin.sheet, row.origin.row))),
        tuple(
            (row.origin, remark)
            for row in sorting.new
            for remark in row.remarks
            if row.origin in adopted
        ),
        findings,
        frozenset(line.origin for line in sorting.lost),
    )


@dataclass(frozen=True)
class _Sorting:
    """Rows to adopt, and the rest; ``lost`` are lines whose row a power cut lost."""

    new: list[UnderstoodRow]
    already: list[Origin]
    refused: list[RefusedRow]
    lost: list[AdoptedRow]


def _sort(
    read: Sequence[UnderstoodRow | RefusedRow],
    checked: CheckedBench,
    lines: Sequence[AdoptedRow],
    file: str,
) -> _Sorting:
    keys = _keys(checked)
    by_origin = {line.origin: line for line in lines}
    by_place = {line.place: line for line in lines}
    here = {(row.origin.digest, str(row.origin.count)) for row in read}
    sorting = _Sorting([], [], [], [])
    for row in read:
        if isinstance(row, RefusedRow):
            continue
        origin = row.origin
        line = by_origin.get((origin.digest, str(origin.count)))
        former = by_place.get((file, origin.sheet, origin.source_row))
        if line is not None and (line.table, line.row) in keys:
            sorting.already.append(origin)
        elif line is None and former is not None and former.origin not in here:
            reason = RefusalReason(Obstacle.ADOPTED_OTHERWISE, f"{former.row}: {CHANGED}")
            sorting.refused.append(RefusedRow(origin, (reason,)))
        elif line is None and row.cells.get("run") in {key.split("|")[0] for _, key in keys}:
            reason = RefusalReason(Obstacle.NAME_TAKEN, f"{row.cells['run']}: {NAME_TAKEN}")
            sorting.refused.append(RefusedRow(origin, (reason,)))
        else:
            sorting.new.append(row)
            sorting.lost.extend([line] if line is not None else [])
    return sorting


def _keys(checked: CheckedBench) -> set[tuple[str, str]]:
    """Every row of the bench by table and key."""
    return {
        (table, "|".join(map(str, row.key)))
        for table in READING_TABLES
        for row in checked.tables[table].as_typed
    }


def _try_out(
    bench: Bench, checked: CheckedBench, sorting: _Sorting, word: str
) -> tuple[tuple[NumberedRow, ...], list[RefusedRow], tuple[Finding, ...]]:
    """Leave out rows that the bench would be at fault with, until there are none."""
    rows, refused = list(sorting.new), list[RefusedRow]()
    while True:
        numbered = number_runs(rows, checked, word, sorting.lost)
        with copied_bench(bench) as copy:
            places = append_to_days(copy, numbered)
            findings = findings_of(copy)
        own = [(finding, places.get((finding.file, finding.row or 0))) for finding in findings]
        at_fault: dict[Origin, list[RefusalReason]] = {}
        for finding, row in own:
            if row is not None and finding.severity is Severity.ERROR:
                at_fault.setdefault(row.origin, []).append(_reason(finding))
        if not at_fault:
            return numbered, refused, tuple(finding for finding, row in own if row is not None)
        refused += [RefusedRow(origin, tuple(reasons)) for origin, reasons in at_fault.items()]
        rows = [row for row in rows if row.origin not in at_fault]


def _reason(finding: Finding) -> RefusalReason:
    column = finding.column or ""
    return RefusalReason(
        Obstacle.FINDING, f"{column} {finding.problem}".strip(), column, finding.code
    )


def append_to_days(bench: Bench, rows: Iterable[NumberedRow]) -> dict[tuple[str, int], NumberedRow]:
    """Append rows to their days; where each one stands then."""
    places: dict[tuple[str, int], NumberedRow] = {}
    ordered = sorted(rows, key=lambda row: (row.day, row.table))
    for (day, table), group in groupby(ordered, key=lambda row: (row.day, row.table)):
        members = list(group)
        file = place_below(bench.days, f"{day}/{table}.csv")
        before = read_table_text(file)
        start = before.end if before is not None else 1
        append_rows(file, read_schema(table).columns, [row.cells for row in members])
        name = bench.name_of(file)
        places |= {(name, start + i): row for i, row in enumerate(members, start=1)}
    return places
