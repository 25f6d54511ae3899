"""A correction: checked, shown with everything it changes, then written.

In:  which cell is wrong, what it should say, and why.
Out: lines for ``corrections.csv`` and the public figures that they change. Raw rows stay.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from trialpress.bench import READING_TABLES, TABLES, Bench
from trialpress.desk.append import append_rows
from trialpress.desk.effects import Effect, read_figures, tell_effects
from trialpress.desk.gist import gist_of
from trialpress.desk.trial import trial_bench
from trialpress.errors import FaultyDataError, UsageError
from trialpress.intake import FaultyBenchError, Finding, Severity, read_bench, read_schema
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


class NoSuchCellError(UsageError):
    """There is no cell of that table, row and column to correct."""

    def __init__(self, what: str, given: str, known: Iterable[str], remedy: str) -> None:
        super().__init__(f"There is no {what} {given}. {meant(given, known)}{remedy}")


class RefusedCorrectionError(FaultyDataError):
    """The correction would be a fault itself, or make the row one."""

    def __init__(self, findings: Sequence[Finding]) -> None:
        told = "\n".join(finding.text for finding in findings)
        super().__init__(f"{told}\nNothing was written. Mend the command and run it again.")
        self.findings = tuple(findings)


@dataclass(frozen=True)
class Wish:
    """What is to be corrected in one row; ``cells`` are columns with their new text."""

    table: str
    row: str
    cells: tuple[tuple[str, str | None], ...]
    why: str
    corrected_on: date


@dataclass(frozen=True)
class Change:
    """One cell before and after, and the place where the raw row stays as it is."""

    where: str
    column: str
    was: str | None
    now: str | None


@dataclass(frozen=True)
class Proposal:
    """A correction that can be written.

    ``effects`` are the public figures that differ with it, as of the day of the correction;
    None where the bench has faults that keep one from working them out. ``gist`` says what matters
    of them in plain sentences; ``findings`` are what ``check`` will say only afterwards.
    """

    correction: str
    changes: tuple[Change, ...]
    lines: tuple[dict[str, str], ...]
    effects: tuple[Effect, ...] | None
    gist: tuple[str, ...]
    findings: tuple[Finding, ...]


def propose(bench: Bench, wish: Wish) -> Proposal:
    """Check a correction and work out what it changes; nothing is written.

    Raises
    ------
    NoSuchCellError
        If table, row or column is not there.
    RefusedCorrectionError
        If the bench would have a fault that it has not now: a wrong type, a key, the value that
        stands already, a mass that cannot be.
    """
    wish = _in_house_form(wish)
    row = _row_as_it_stands(bench, wish)
    wish = _numbered_anew(wish, row)
    correction = _free_name(bench, wish.corrected_on)
    changes = tuple(
        Change(row.place(column).text, column, row.cells[column], now) for column, now in wish.cells
    )
    lines = tuple(_line(wish, correction, change) for change in changes)
    with trial_bench(bench) as trial:
        append_rows(trial.corrections_file, read_schema(TABLE).columns, lines)
        known = _findings(bench)
        findings = tuple(one for one in _findings(trial) if one not in known)
        _refuse(findings, known)
        effects, gist = _effects(bench, trial, wish.corrected_on)
    return Proposal(correction, changes, lines, effects, gist, findings)


def _numbered_anew(wish: Wish, row: Row) -> Wish:
    """A run that moves to another set-up or protocol leaves its typed number behind."""
    columns = {column for column, _ in wish.cells}
    moves = wish.table in READING_TABLES and columns & set(CELL_COLUMNS)
    if not moves or "replicate" in columns or row.cells["replicate"] is None:
        return wish
    return replace(wish, cells=(*wish.cells, ("replicate", None)))


def write_correction(bench: Bench, proposal: Proposal) -> None:
    """Append the lines of a proposal to ``corrections.csv``, durably."""
    with locked(bench):
        append_rows(bench.corrections_file, read_schema(TABLE).columns, proposal.lines)


def _in_house_form(wish: Wish) -> Wish:
    """The same wish as ``check`` reads it; what can be read in two ways stays, to be refused."""
    row, cells = wish.row, []
    for column, now in wish.cells:
        typed = {"table": wish.table, "row": wish.row, "column": column, "now": now}
        house = house_row(TABLE, typed, NumberForms())
        text, key = house["now"], house["row"]
        cells.append((column, text.text if isinstance(text, Doubt) else text))
        row = key if isinstance(key, str) else row
    return replace(wish, row=row, cells=tuple(cells))


def _row_as_it_stands(bench: Bench, wish: Wish) -> Row:
    """The row with all corrections so far; the bench may have faults elsewhere."""
    if wish.table not in TABLES or wish.table == TABLE:
        known = ", ".join(name for name in TABLES if name != TABLE)
        raise NoSuchCellError("table", wish.table, TABLES, f"Choose from: {known}.")
    typed = read_typed(bench, list_bench(bench))
    corrections = read_corrections(typed.tables[TABLE])
    rows = apply_corrections(typed.tables, corrections).tables[wish.table]
    found = {"|".join(cell or "" for cell in row.key): row for row in rows}
    schema = read_schema(wish.table)
    if wish.row not in found:
        key = "|".join(schema.key)
        raise NoSuchCellError(
            f"row in {wish.table} named", wish.row, found, f"A row is named by {key}."
        )
    for column, _ in wish.cells:
        if column not in schema.columns:
            known = ", ".join(schema.columns)
            raise NoSuchCellError(
                f"column in {wish.table} named", column, schema.columns, f"Choose from: {known}."
            )
    return found[wish.row]


def _free_name(bench: Bench, day: date) -> str:
    """The first of ``<date>-01``, ``<date>-02`` … that no correction has."""
    taken = {row.cells["correction"] for row in read_typed(bench, list_bench(bench)).tables[TABLE]}
    number = 1
    while f"{day.isoformat()}-{number:02}" in taken:
        number += 1
    return f"{day.isoformat()}-{number:02}"


def _line(wish: Wish, correction: str, change: Change) -> dict[str, str]:
    return {
        "correction": correction,
        "table": wish.table,
        "row": wish.row,
        "column": change.column,
        "corrected_on": wish.corrected_on.isoformat(),
        "was": change.was or "",
        "now": change.now or "",
        "why": re.sub(r"\s+", " ", wish.why).strip(),
    }


def _findings(bench: Bench) -> tuple[Finding, ...]:
    try:
        return read_bench(bench, None).findings
    except FaultyBenchError as error:
        return error.findings


def _refuse(findings: Iterable[Finding], known: Sequence[Finding]) -> None:
    """Refuse what puts a row at fault that is not at fault already; other faults do not matter."""
    at_fault = {(finding.file, finding.row) for finding in _errors(known)}
    new = [one for one in _errors(findings) if (one.file, one.row) not in at_fault]
    if new:
        raise RefusedCorrectionError(new)


def _errors(findings: Iterable[Finding]) -> list[Finding]:
    return [finding for finding in findings if finding.severity is Severity.ERROR]


def _effects(
    bench: Bench, trial: Bench, as_of: date
) -> tuple[tuple[Effect, ...] | None, tuple[str, ...]]:
    try:
        before = read_figures(bench, as_of)
        after = read_figures(trial, as_of)
    except FaultyBenchError:
        return None, ("What it changes cannot be worked out while the data have faults.",)
    return tell_effects(before, after), gist_of(before, after)
