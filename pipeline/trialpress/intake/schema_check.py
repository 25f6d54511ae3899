"""The check that every package passes through: types, constraints, keys and references.

In:  the rows of all tables as text.
Out: findings. Tables are combined into data packages in memory, so that keys are unique over all
     days and references reach from a day into the catalogue.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from trialpress.intake.constraints import broken_constraint
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.nearest import nearest
from trialpress.intake.rows import Row
from trialpress.intake.schemas import Field, Reference, read_schema, read_schema_text
from trialpress.intake.screening import Tables, cell_reader, doubtful_rows

if TYPE_CHECKING:
    from frictionless import Error

_ALL_ERRORS = 10**9
_RUN_TABLES = ("weighings", "values", "counts")  # a run's name is checked over all of them
_DAY_BY_DAY = ("gradings", "conditions")  # two rooms may be read at one time


def check_schemas(tables: Tables, unsure: frozenset[str]) -> Iterator[Finding]:
    """Check all rows of all tables against their schemas.

    Parameters
    ----------
    tables : mapping of table name to rows
        Every table of the bench; the rows of all its files, in order.
    unsure : frozenset of str
        Tables that could not be read whole: nothing is said of references to them.
    """
    for table, doubtful in doubtful_rows(tables).items():
        first = {_identity(row): row for row in reversed(tables[table])}
        for error in errors_of_library(table, doubtful, tables):
            row = doubtful[error.row_number - 2]
            if error.type != "foreign-key" or _target(error, row).table not in unsure:
                finding = _worded(error, row, first[_identity(row)], tables)
                if finding is not None:
                    yield finding


def check_typed_cell(text: str | None, field: Field, table: str, place: Place) -> Finding | None:
    """Check one cell by itself, as ``check_schemas`` does where it stands in its table."""
    _, notes = cell_reader(table, field.name)(text)
    return broken_constraint(next(iter(notes.values())), field, text, place) if notes else None


def errors_of_library(table: str, rows: Sequence[Row], tables: Tables) -> Sequence[Error]:
    """What the library says of some rows, in a package with the tables that they refer to."""
    from frictionless import Package  # noqa: PLC0415, it takes a fifth of a second to import

    targets = sorted({reference.table for reference in read_schema(table).references})
    resources = [_resource(table, rows), *(_resource(name, tables[name]) for name in targets)]
    package = Package.from_descriptor({"name": "bench", "resources": resources})
    report = package.get_resource(table).validate(limit_errors=_ALL_ERRORS)
    errors: Sequence[Error] = report.tasks[0].errors
    return errors


def _resource(table: str, rows: Sequence[Row]) -> dict[str, object]:
    columns = read_schema(table).columns
    data = [list(columns), *(list(row.texts(columns)) for row in rows)]
    schema = json.loads(read_schema_text(table))
    return {"name": table, "type": "table", "format": "inline", "data": data, "schema": schema}


def _worded(error: Error, row: Row, first: Row, tables: Tables) -> Finding | None:
    """Put an error of the library in our words; ``None`` where another finding says it."""
    if error.type in {"constraint-error", "type-error"}:
        field = read_schema(row.table).field(error.field_name)
        return broken_constraint(error.note, field, row.cells[field.name], row.place(field.name))
    if error.type == "primary-key":
        is_told = None in row.key or row.table in _RUN_TABLES
        return None if is_told or first is row else _repeated_key(row, first)
    if error.type == "foreign-key":
        return unknown_reference(row, _target(error, row), tables)
    if error.type == "blank-row":
        return None
    raise ValueError(error.message)


def _identity(row: Row) -> tuple[str | None, ...]:
    """The key, and the file where the key need only be unique within it."""
    return (row.file, *row.key) if row.table in _DAY_BY_DAY else row.key


def _target(error: Error, row: Row) -> Reference:
    columns = tuple(error.field_names)
    return next(ref for ref in read_schema(row.table).references if ref.columns == columns)


def _repeated_key(row: Row, first: Row) -> Finding:
    place = row.place(read_schema(row.table).key[0])
    return found(
        FindingCode.KEY_REPEATED,
        place,
        "|".join(cell or "" for cell in row.key),
        key=" or ".join(read_schema(row.table).key),
        first=first.place().seen_from(place),
    )


def unknown_reference(row: Row, reference: Reference, tables: Tables) -> Finding | None:
    """Say what a reference misses; ``None`` where a part of it is blank or it does exist.

    The text decides: what another finding says of the row referred to is not said twice.
    """
    wanted = row.texts(reference.columns)
    known = {other.texts(reference.key) for other in tables[reference.table]}
    if None in wanted or wanted in known:
        return None
    first_known = frozenset(key[0] for key in known if key[0] is not None)
    lacks_version = wanted[0] in first_known
    near = None if lacks_version else nearest(str(wanted[0]), first_known)
    column = reference.columns[-1 if lacks_version else 0]
    return found(
        FindingCode.REFERENCE_UNKNOWN,
        row.place(column),
        row.cells[column],
        variant="version" if lacks_version else "nearest" if near else "",
        owner=wanted[0],
        nearest=near,
        table=reference.table,
    )
