"""Applying corrections; the rows as typed are never touched.

In:  rows as typed, and the lines of ``corrections.csv``.
Out: the rows as corrected, and findings for lines that cannot be applied.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from trialpress.intake.cells import check_cell
from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.nearest import nearest
from trialpress.intake.rows import Row, Tables
from trialpress.intake.schema_check import check_typed_cell, keys_in, unknown_reference
from trialpress.intake.schemas import read_schema

FIXED_COLUMNS = frozenset({"at", "publish_on"})


@dataclass(frozen=True)
class CorrectionRecord:
    """One line of ``corrections.csv``."""

    line: Row
    correction: str
    table: str
    row: str
    column: str
    corrected_on: date
    was: str | None
    now: str | None

    @property
    def cell(self) -> tuple[str, str, str]:
        """The cell that is corrected."""
        return (self.table, self.row, self.column)


@dataclass(frozen=True)
class Corrected:
    """The tables with corrections applied, and what was wrong with the corrections."""

    tables: Mapping[str, tuple[Row, ...]]
    findings: tuple[Finding, ...]


def read_corrections(lines: Iterable[Row]) -> tuple[CorrectionRecord, ...]:
    """Read lines that satisfy their schema, in the order they apply: by date, then as filed."""
    corrections = [
        CorrectionRecord(
            line=line,
            correction=str(line.cells["correction"]),
            table=str(line.cells["table"]),
            row=str(line.cells["row"]),
            column=str(line.cells["column"]),
            corrected_on=date.fromisoformat(str(line.cells["corrected_on"])),
            was=line.cells["was"],
            now=line.cells["now"],
        )
        for line in lines
    ]
    return tuple(sorted(corrections, key=lambda correction: correction.corrected_on))


def apply_corrections(tables: Tables, corrections: Iterable[CorrectionRecord]) -> Corrected:
    """Apply corrections one after the other.

    Parameters
    ----------
    tables : mapping of table name to rows
        All tables as typed.
    corrections : iterable of Correction
        In the order they apply.

    Returns
    -------
    Corrected
        The same rows in the same order. A line with a finding is left out, unless only its ``was``
        or its date is wrong.
    """
    corrections = tuple(corrections)
    concerned = {correction.table for correction in corrections}
    keys = {
        table: [_key_text(row) for row in typed]
        for table, typed in tables.items()
        if table in concerned
    }
    rows = _by_key(tables, keys)
    findings = [*_split_corrections(corrections)]
    last: dict[tuple[str, str, str], CorrectionRecord] = {}
    for correction in corrections:
        row = rows.get((correction.table, correction.row))
        refusals = list(_refusals(correction, row, tables))
        findings += refusals
        if row is not None and not refusals:
            findings += _mismatches(correction, row)
            cells = {**row.cells, correction.column: correction.now}
            rows[correction.table, correction.row] = replace(row, cells=cells)
            last[correction.cell] = correction
    corrected = {
        table: tuple(
            rows.get((table, key), row) for key, row in zip(keys[table], typed, strict=True)
        )
        if table in keys
        else tuple(typed)
        for table, typed in tables.items()
    }
    findings += _lost_references(last.values(), rows, corrected)
    return Corrected(corrected, tuple(findings))


def _by_key(tables: Tables, keys: Mapping[str, Sequence[str]]) -> dict[tuple[str, str], Row]:
    """Rows by table and key as corrections write it, without keys that several rows have."""
    rows: dict[tuple[str, str], Row] = {}
    for table, texts in keys.items():
        count: Counter[str] = Counter(texts)
        pairs = zip(texts, tables[table], strict=True)
        rows |= {(table, text): row for text, row in pairs if count[text] == 1}
    return rows


def _key_text(row: Row) -> str:
    return "|".join(cell or "" for cell in row.key)


def _refusals(correction: CorrectionRecord, row: Row | None, tables: Tables) -> Iterator[Finding]:
    """Reasons why a line cannot be applied at all."""
    if row is None:
        yield _unknown_row(correction, tables)
    schema = read_schema(correction.table)
    place = correction.line.place("column")
    if correction.column not in schema.columns:
        near = nearest(correction.column, frozenset(schema.columns))
        yield found(
            FindingCode.CORRECTION_COLUMN,
            place,
            correction.column,
            variant="nearest" if near else "",
            nearest=near,
            table=correction.table,
        )
    elif correction.column in FIXED_COLUMNS.union(schema.key):
        variant = correction.column
        yield found(FindingCode.CORRECTION_FIXED, place, correction.column, variant=variant)
    else:
        yield from _wrong_value(correction)


def _unknown_row(correction: CorrectionRecord, tables: Tables) -> Finding:
    known = frozenset(_key_text(row) for row in tables[correction.table])
    near = nearest(correction.row, known)
    return found(
        FindingCode.CORRECTION_ROW,
        correction.line.place("row"),
        correction.row,
        variant="several" if correction.row in known else "nearest" if near else "",
        nearest=near,
        table=correction.table,
        key="|".join(read_schema(correction.table).key),
    )


def _wrong_value(correction: CorrectionRecord) -> Iterator[Finding]:
    """What is wrong with the new entry, by itself."""
    field = read_schema(correction.table).field(correction.column)
    place = correction.line.place("now")
    text = correction.now
    wrong = check_cell(text, field, correction.table, place) if text is not None else None
    wrong = wrong or check_typed_cell(text, field, correction.table, place)
    if wrong is not None:
        yield _value_finding(correction, wrong)


def _value_finding(correction: CorrectionRecord, wrong: Finding) -> Finding:
    return found(
        FindingCode.CORRECTION_VALUE,
        correction.line.place("now"),
        correction.now,
        target=correction.column,
        problem=wrong.problem,
    )


def _mismatches(correction: CorrectionRecord, row: Row) -> Iterator[Finding]:
    stands = row.cells[correction.column]
    if correction.was != stands:
        yield found(
            FindingCode.CORRECTION_WAS,
            correction.line.place("was"),
            correction.was,
            typed=correction.was or "nothing",
            stands=stands or "nothing",
            target=correction.column,
            where=row.place().text,
        )
    elif correction.was == correction.now:
        place = correction.line.place("now")
        yield found(FindingCode.CORRECTION_SAME, place, correction.now)


def _split_corrections(corrections: Iterable[CorrectionRecord]) -> Iterator[Finding]:
    """Lines of one correction apply together, so they carry one date."""
    first: dict[str, CorrectionRecord] = {}
    for correction in corrections:
        earlier = first.setdefault(correction.correction, correction)
        if earlier.corrected_on != correction.corrected_on:
            place = correction.line.place("corrected_on")
            yield found(
                FindingCode.CORRECTION_SPLIT,
                place,
                correction.corrected_on.isoformat(),
                correction=correction.correction,
                other=earlier.corrected_on.isoformat(),
                where=earlier.line.place().seen_from(place),
            )


def _lost_references(
    applied: Iterable[CorrectionRecord], rows: Mapping[tuple[str, str], Row], tables: Tables
) -> Iterator[Finding]:
    """Corrected references that lead nowhere once everything is applied."""
    known = keys_in(tables)
    for correction in applied:
        row = rows[correction.table, correction.row]
        for reference in read_schema(correction.table).references:
            if correction.column in reference.columns:
                wrong = unknown_reference(row, reference, known)
                if wrong is not None:
                    yield _value_finding(correction, wrong)
