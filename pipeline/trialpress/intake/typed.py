"""All tables as typed, with everything that is wrong with their files, rows and cells.

In:  the table files of a bench.
Out: rows by table, and findings: one a cell at most, and none that only follows from another.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from trialpress.bench import CATALOGUE_TABLES, DAY_TABLES, TABLES, Bench
from trialpress.intake.cells import check_cells
from trialpress.intake.findings import Finding, FindingCode, Place, Severity, found
from trialpress.intake.folder import Listing, TableFile
from trialpress.intake.rows import Faults, Row, Tables
from trialpress.intake.schema_check import MOST_TOLD, check_schemas, doubtful_rows
from trialpress.intake.schemas import read_schema
from trialpress.intake.table_file import Contents, read_table_file


@dataclass(frozen=True)
class Typed:
    """The rows of every table, in the order of the files' paths.

    ``unsure`` names tables some keys of which may be hidden by a fault that is told already: that
    something is not in them means nothing. ``untold`` are rows whose faults are too many to tell.
    """

    tables: Mapping[str, tuple[Row, ...]]
    unsure: frozenset[str]
    untold: tuple[Row, ...]
    findings: tuple[Finding, ...]


def read_typed(bench: Bench, listing: Listing) -> Typed:
    """Read and check all tables of the bench."""
    read = [(file, read_table_file(file)) for file in listing.tables]
    tables = {
        table: tuple(row for file, contents in read if file.table == table for row in contents.rows)
        for table in TABLES
    }
    shape = [finding for _, contents in read for finding in contents.findings]
    doubts = [doubt for _, contents in read for doubt in contents.doubts]
    cells = check_cells(row for rows in tables.values() for row in rows)
    unsure = _unsure(read, listing)
    doubtful = doubtful_rows(tables)
    schema = check_schemas(tables, doubtful, unsure)
    untold = tuple(row for rows in doubtful.values() for row in rows[MOST_TOLD:])
    of_cells = _one_a_cell([*doubts, *cells, *schema], shape)
    return Typed(
        tables, unsure, untold, (*shape, *of_cells, *_missing_files(bench, tables, listing))
    )


def faults_of(findings: Iterable[Finding], untold: Iterable[Row]) -> Faults:
    """The columns at fault of each row; ``None`` among them stands for the row as a whole."""
    faults: dict[tuple[str, int], frozenset[str | None]] = {
        (row.file, row.number): frozenset([None]) for row in untold
    }
    for finding in findings:
        if finding.row is not None and finding.severity is Severity.ERROR:
            key = (finding.file, finding.row)
            faults[key] = faults.get(key, frozenset()) | {finding.column}
    return faults


def _unsure(read: Sequence[tuple[TableFile, Contents]], listing: Listing) -> frozenset[str]:
    hidden = {
        file.table
        for file, contents in read
        if not contents.is_whole or contents.missing_columns & set(read_schema(file.table).key)
    }
    strays = any(finding.code is FindingCode.FILE_UNKNOWN for finding in listing.findings)
    return frozenset(hidden | _absent(listing) | set(DAY_TABLES if strays else ()))


def _absent(listing: Listing) -> set[str]:
    """Tables of the catalogue that have no file."""
    return set(CATALOGUE_TABLES) - {file.table for file in listing.tables}


def _one_a_cell(findings: Iterable[Finding], shape: Iterable[Finding]) -> Iterator[Finding]:
    """Keep the first finding of each cell, and none where the cells of a row are displaced."""
    displaced = {
        (finding.file, finding.row) for finding in shape if finding.code is FindingCode.ROW_LENGTH
    }
    seen: set[tuple[str, int | None, str | None]] = set()
    for finding in findings:
        cell = (finding.file, finding.row, finding.column)
        if cell not in seen and (finding.file, finding.row) not in displaced:
            seen.add(cell)
            yield finding


def _missing_files(bench: Bench, tables: Tables, listing: Listing) -> Iterator[Finding]:
    """One finding for a catalogue table that is not there although rows refer to it."""
    catalogue = bench.name_of(bench.catalogue)
    if any(finding.file.startswith(catalogue) for finding in listing.findings):
        return  # it is likely there under the name that is told already
    wanted = {
        reference.table
        for table, rows in tables.items()
        for reference in read_schema(table).references
        if any(None not in row.texts(reference.columns) for row in rows)
    }
    for table in sorted(wanted & _absent(listing)):
        yield found(FindingCode.FILE_MISSING, Place(f"{catalogue}/{table}.csv"))
