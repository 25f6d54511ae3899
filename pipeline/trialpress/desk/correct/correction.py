"""A correction: checked, shown with everything it changes, then written.

In:  which cell is wrong, what it should say, and why.
Out: lines for ``corrections.csv`` and the public figures that they change. Raw rows stay.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from trialpress.bench import CORRECTED_TABLES, READING_TABLES, Bench
from trialpress.desk.append import append_rows
from trialpress.desk.bench_copy import copied_bench, findings_of
from trialpress.desk.correct.effects import FigureChange, effects_between, read_figures, summary_of
from trialpress.errors import FaultyDataError, OutsideWorldError, UsageError
from trialpress.intake import FaultyBenchError, Finding, Severity, read_schema
from trialpress.intake.corrections import apply_corrections, read_corrections
from trialpress.intake.dialect import house_row
from trialpress.intake.folder import list_bench
from trialpress.intake.nearest import meant
from trialpress.intake.replicates import CELL_COLUMNS
from trialpress.intake.rows import Row
from trialpress.intake.spelling import Doubt, NumberForms
from trialpress.intake.typed import read_typed
from trialpress.lock import locked

TABLE = "corrections"


class NothingToCorrectError(UsageError):
    """There is no cell of that table, row and column to correct."""

    def __init__(self, what: str, given: str, known: Iterable[str], remedy: str) -> None:
        super().__init__(f"There is no {what} {given}. {meant(given, known)}{remedy}")


class RefusedCorrectionError(FaultyDataError):
    """The correction would be a fault itself, or make the row one."""

    def __init__(self, findings: Sequence[Finding]) -> None:
        text = "\n".join(finding.text for finding in findings)
        super().__init__(f"{text}\nNothing was written. Mend the command and run it again.")
        self.findings = tuple(findings)


class ClockBehindError(OutsideWorldError):
    """The clock says a day before what is corrected."""

    def __init__(self, today: date, latest: date) -> None:
        super().__init__(
            f"By the clock of this machine it is {today}, but the bench holds what was written on "
            f"{latest}; a correction dated earlier would count before that. Nothing was written. "
            "Set the clock, then run the command again."
        )


@dataclass(frozen=True)
class CorrectionRequest:
    """What is to be corrected in one row; ``cells`` are columns with their new text."""

    table: str
    row: str
    cells: tuple[tuple[str, str | None], ...]
    why: str
    corrected_on: date


@dataclass(frozen=True)
class CellChange:
    """One cell before and after, and the place where the raw row stays as it is."""

    where: str
    column: str
    was: str | None
    now: str | None


@dataclass(frozen=True)
class ProposedCorrection:
    """A correction that can be written.

    ``effects`` are the public figures that differ with it, as of the day of the correction;
    None where the bench has faults that keep one from working them out. ``summary`` says what
    matters of them in plain sentences; ``findings`` are what ``check`` will say only afterwards.
    """

    correction: str
    changes: tuple[CellChange, ...]
    lines: tuple[dict[str, str], ...]
    effects: tuple[FigureChange, ...] | None
    summary: tuple[str, ...]
    findings: tuple[Finding, ...]


def propose(bench: Bench, request: CorrectionRequest) -> ProposedCorrection:
    """Check a correction and work out what it changes; nothing is written.

    Raises
    ------
    NothingToCorrectError
        If table, row or column is not there.
    ClockBehindError
        If it is dated before the row, or before an earlier correction.
    RefusedCorrectionError
        If the bench would have a fault that it has not now: a wrong type, a key, the value that
        stands already, a mass that cannot be.
    """
    request = _in_house_form(request)
    row = _row_as_it_stands(bench, request)
    request = _numbered_anew(request, row)
    correction = _free_name(bench, request.corrected_on)
    changes = tuple(
        CellChange(row.place(column).text, column, row.cells[column], now)
        for column, now in request.cells
    )
    lines = tuple(_line(request, correction, change) for change in changes)
    with copied_bench(bench) as copy:
        append_rows(copy.corrections_file, read_schema(TABLE).columns, lines)
        known = findings_of(bench)
        findings = tuple(finding for finding in findings_of(copy) if finding not in known)
        _refuse(findings, known)
        effects, summary = _effects(bench, copy, request.corrected_on)
    return ProposedCorrection(correction, changes, lines, effects, summary, findings)


def _numbered_anew(request: CorrectionRequest, row: Row) -> CorrectionRequest:
    """A run that moves to another set-up or protocol leaves its typed number behind."""
    columns = {column for column, _ in request.cells}
    moves = request.table in READING_TABLES and columns & set(CELL_COLUMNS)
    if not moves or "replicate" in columns or row.cells["replicate"] is None:
        return request
    return replace(request, cells=(*request.cells, ("replicate", None)))


def write_correction(bench: Bench, proposal: ProposedCorrection) -> None:
    """Append the lines of a proposal to ``corrections.csv``, durably."""
    with locked(bench):
        append_rows(bench.corrections_file, read_schema(TABLE).columns, proposal.lines)


def _in_house_form(request: CorrectionRequest) -> CorrectionRequest:
    """The same wish as ``check`` reads it; what can be read in two ways stays, to be refused."""
    row, cells = request.row, []
    for column, now in request.cells:
        typed = {"table": request.table, "row": request.row, "column": column, "now": now}
        house = house_row(TABLE, typed, NumberForms())
        text, key = house["now"], house["row"]
        cells.append((column, text.text if isinstance(text, Doubt) else text))
        row = key if isinstance(key, str) else row
    return replace(request, row=row, cells=tuple(cells))


def _row_as_it_stands(bench: Bench, request: CorrectionRequest) -> Row:
    """The row with all corrections so far; the bench may have faults elsewhere."""
    if request.table not in CORRECTED_TABLES:
        choice = f"Choose from: {', '.join(CORRECTED_TABLES)}."
        raise NothingToCorrectError("table", request.table, CORRECTED_TABLES, choice)
    typed = read_typed(bench, list_bench(bench))
    corrections = read_corrections(typed.tables[TABLE])
    rows = apply_corrections(typed.tables, corrections).tables[request.table]
    found = {"|".join(cell or "" for cell in row.key): row for row in rows}
    schema = read_schema(request.table)
    if request.row not in found:
        key = "|".join(schema.key)
        raise NothingToCorrectError(
            f"row in {request.table} named", request.row, found, f"A row is named by {key}."
        )
    for column, _ in request.cells:
        if column not in schema.columns:
            known = ", ".join(schema.columns)
            raise NothingToCorrectError(
                f"column in {request.table} named", column, schema.columns, f"Choose from: {known}."
            )
    row = found[request.row]
    written = [correction.corrected_on for correction in corrections]
    if row.day_date and row.cells.get("status") == "valid":
        written.append(row.day_date)
    if written and request.corrected_on < max(written):
        raise ClockBehindError(request.corrected_on, max(written))
    return row


def _free_name(bench: Bench, day: date) -> str:
    """The first of ``<date>-01``, ``<date>-02`` … that no correction has."""
    taken = {row.cells["correction"] for row in read_typed(bench, list_bench(bench)).tables[TABLE]}
    number = 1
    while f"{day.isoformat()}-{number:02}" in taken:
        number += 1
    return f"{day.isoformat()}-{number:02}"


def _line(request: CorrectionRequest, correction: str, change: CellChange) -> dict[str, str]:
    return {
        "correction": correction,
        "table": request.table,
        "row": request.row,
        "column": change.column,
        "corrected_on": request.corrected_on.isoformat(),
        "was": change.was or "",
        "now": change.now or "",
        "why": re.sub(r"\s+", " ", request.why).strip(),
    }


def _refuse(findings: Iterable[Finding], known: Sequence[Finding]) -> None:
    """Refuse what puts a row at fault that is not at fault already; other faults do not matter."""
    at_fault = {(finding.file, finding.row) for finding in _errors(known)}
    new = [finding for finding in _errors(findings) if (finding.file, finding.row) not in at_fault]
    if new:
        raise RefusedCorrectionError(new)


def _errors(findings: Iterable[Finding]) -> list[Finding]:
    return [finding for finding in findings if finding.severity is Severity.ERROR]


def _effects(
    bench: Bench, copy: Bench, as_of: date
) -> tuple[tuple[FigureChange, ...] | None, tuple[str, ...]]:
    try:
        before = read_figures(bench, as_of)
        after = read_figures(copy, as_of)
    except FaultyBenchError:
        return None, ("What it changes cannot be worked out while the data have faults.",)
    return effects_between(before, after), summary_of(before, after)
