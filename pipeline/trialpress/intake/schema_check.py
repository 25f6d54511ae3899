"""The check that every package passes through: types, constraints, keys and references.

In:  the rows of all tables as text.
Out: findings. Tables are combined into data packages in memory, so that keys are unique over all
     days and references reach from a day into the catalogue.

The data package library has the last word on each row, but reads a bench in a package of its own
for each call, and each table anew for every reference to it. So cells are read one by one, those
that are not plainly in order by its own readers, and it sees the rows alone that it may refuse.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

from trialpress.bench import CATALOGUE_TABLES
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.nearest import nearest
from trialpress.intake.plain_cells import UNSURE, plain_reader
from trialpress.intake.rows import Row, Tables
from trialpress.intake.schemas import Field, Reference, read_schema, read_schema_text

if TYPE_CHECKING:
    from frictionless import Error, Schema

_NOTE = re.compile(r'constraint "(?P<name>\w+)" is "(?P<bound>.*)"')
_CODES = {
    "required": FindingCode.CELL_BLANK,
    "enum": FindingCode.CELL_NOT_ALLOWED,
    "pattern": FindingCode.CELL_PATTERN,
    "minimum": FindingCode.CELL_RANGE,
    "maximum": FindingCode.CELL_RANGE,
    "maxLength": FindingCode.CELL_LENGTH,
}
_BY_PATTERN = {"at": "at", "film_marks.at": "film", "website": "website", "address": "address"}
"""Whose remedy is one of its own: a column, whatever its table, or a column of one table."""
_ALL_ERRORS = 10**9
TEXTS_KEPT = 50_000
"""Distinct cells of a column of which the reader's answer is kept."""
_RUN_TABLES = ("weighings", "values", "counts")  # a run's name is checked over all of them
_DAY_BY_DAY = ("gradings", "conditions")  # two rooms may be read at one time
MOST_TOLD = 200
"""Doubtful rows of a table that the library is asked about; it takes some 3 ms for each."""
CellReader = Callable[[str | None], tuple[object, Mapping[str, str] | None]]
"""From the text of a cell to its value, and what is wrong with it by constraint."""
TypedCells = Mapping[str, object]
"""The cells of one row, typed; a cell of the wrong type is None."""
Keys = frozenset[tuple[object, ...]]
KnownKeys = Callable[[Reference], frozenset[tuple[str | None, ...]]]


def check_schemas(
    tables: Tables, doubtful: Mapping[str, Sequence[Row]], unsure: frozenset[str]
) -> Iterator[Finding]:
    """Check rows against the schemas of their tables; of many at fault only how many there are.

    Parameters
    ----------
    tables : mapping of table name to rows
        Every table of the bench; the rows of all its files, in order.
    doubtful : mapping of table name to rows
        From ``doubtful_rows``.
    unsure : frozenset of str
        Tables that could not be read whole: nothing is said of references to them.
    """
    known = keys_in(tables)
    for table, rows in doubtful.items():
        first = {_identity(row): row for row in reversed(tables[table])}
        for error in errors_of_library(table, rows[:MOST_TOLD], tables):
            row = rows[error.row_number - 2]
            if error.type != "foreign-key" or _target(error, row).table not in unsure:
                finding = _worded(error, row, first[_identity(row)], known)
                if finding is not None:
                    yield finding
        if left := rows[MOST_TOLD:]:
            yield found(FindingCode.ROWS_LEFT, left[0].place(), table=table, rows=len(left))


def check_typed_cell(text: str | None, field: Field, table: str, place: Place) -> Finding | None:
    """Check one cell by itself, as ``check_schemas`` does where it stands in its table."""
    _, notes = cell_reader(table, field.name)(text)
    if not notes:
        return None
    return broken_constraint(next(iter(notes.values())), field, table, text, place)


def errors_of_library(table: str, rows: Sequence[Row], tables: Tables) -> Sequence[Error]:
    """What the library says of some rows, in a package with the keys that they refer to."""
    from frictionless import Package  # noqa: PLC0415, it takes a fifth of a second to import

    keys: dict[str, set[str]] = {}
    for reference in read_schema(table).references:
        keys.setdefault(reference.table, set()).update(reference.key)
    targets = (_keys_of(name, columns, tables[name]) for name, columns in sorted(keys.items()))
    resources = [_resource(table, rows), *targets]
    package = Package.from_descriptor({"name": "bench", "resources": resources})
    report = package.get_resource(table).validate(limit_errors=_ALL_ERRORS)
    errors: Sequence[Error] = report.tasks[0].errors
    return errors


def _resource(table: str, rows: Sequence[Row]) -> dict[str, object]:
    return _inline(table, json.loads(read_schema_text(table)), rows)


def _keys_of(table: str, columns: Collection[str], rows: Sequence[Row]) -> dict[str, object]:
    """Some columns of a table, as no more is asked of what others refer to."""
    schema = json.loads(read_schema_text(table))
    fields = [field for field in schema["fields"] if field["name"] in columns]
    return _inline(table, {"fields": fields, "missingValues": schema["missingValues"]}, rows)


def _inline(table: str, schema: dict[str, Any], rows: Sequence[Row]) -> dict[str, object]:
    columns = tuple(field["name"] for field in schema["fields"])
    data = [list(columns), *(list(map(_comparable, row.texts(columns))) for row in rows)]
    return {"name": table, "type": "table", "format": "inline", "data": data, "schema": schema}


def _comparable(text: str | None) -> str | None:
    """A text; in place of one that the library takes for a number and cannot compare, another."""
    if text is None or "n" not in text.casefold():
        return text
    try:
        return "no number" if Decimal(text).is_snan() else text
    except InvalidOperation:
        return text


def _worded(error: Error, row: Row, first: Row, known: KnownKeys) -> Finding | None:
    """Put an error of the library in our words; ``None`` where another finding says it."""
    if error.type in {"constraint-error", "type-error"}:
        field = read_schema(row.table).field(error.field_name)
        text, place = row.cells[field.name], row.place(field.name)
        return broken_constraint(error.note, field, row.table, text, place)
    if error.type == "primary-key":
        is_told = None in row.key or row.table in _RUN_TABLES
        return None if is_told or first is row else _repeated_key(row, first)
    if error.type == "foreign-key":
        return unknown_reference(row, _target(error, row), known)
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


def keys_in(tables: Tables) -> KnownKeys:
    """What a reference may name, gathered once for each."""

    @cache
    def known(reference: Reference) -> frozenset[tuple[str | None, ...]]:
        return frozenset(row.texts(reference.key) for row in tables[reference.table])

    return known


def unknown_reference(row: Row, reference: Reference, known_to: KnownKeys) -> Finding | None:
    """Say what a reference misses; ``None`` where a part of it is blank or it does exist.

    The text decides: what another finding says of the row referred to is not said twice.
    """
    wanted = row.texts(reference.columns)
    known = known_to(reference)
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
        file=_home_of(reference.table),
    )


def _home_of(table: str) -> str:
    """The file of a table that others refer to, and where it lies."""
    return f"{table}.csv in the catalogue" if table in CATALOGUE_TABLES else f"{table}.csv"


def broken_constraint(
    note: str, field: Field, table: str, text: str | None, place: Place
) -> Finding:
    """Turn one note about one cell into a finding.

    Parameters
    ----------
    note : str
        ``type is "…"`` or ``constraint "…" is "…"``, as the library words it.
    field : Field
        The column.
    table : str
        The table it is of.
    text : str or None
        The cell as typed.
    place : Place
        Where the cell is.
    """
    match = _NOTE.fullmatch(note)
    if match is None:
        return found(FindingCode.CELL_TYPE, place, text, variant=field.type)
    name = match["name"]
    by_pattern = _BY_PATTERN.get(f"{table}.{field.name}", _BY_PATTERN.get(field.name, ""))
    variant = {"pattern": by_pattern, "maximum": "maximum"}.get(name, "")
    return found(
        _CODES[name],
        place,
        text,
        variant=variant,
        bound=_plain(match["bound"]),
        allowed=", ".join(field.allowed),
        length=str(len(text or "")),
        meaning=field.meaning,
    )


def _plain(bound: str) -> str:
    """A bound without the exponent that very small numbers are printed with."""
    try:
        return f"{Decimal(bound):f}"
    except InvalidOperation:
        return bound


def doubtful_rows(tables: Tables) -> dict[str, list[Row]]:
    """The rows of each table with a cell, a key or a reference that may be refused.

    Parameters
    ----------
    tables : mapping of table name to rows
        Every table of the bench.

    Returns
    -------
    dict of str to list of Row
        In order, without the tables that are in order. Rows that share a key are all among them.
    """
    read = {table: [*_read(table, rows)] for table, rows in tables.items()}
    typed = {table: [cells for cells, _ in pairs] for table, pairs in read.items()}
    references = {reference for table in tables for reference in read_schema(table).references}
    keys_of = {
        target: frozenset(_texts(cells, target[1]) for cells in typed[target[0]])
        for target in {(reference.table, reference.key) for reference in references}
    }
    known = {reference: keys_of[reference.table, reference.key] for reference in references}
    doubtful = {}
    for table, rows in tables.items():
        schema = read_schema(table)
        keys = Counter(_texts(cells, schema.key) for cells in typed[table])
        doubtful[table] = [
            row
            for row, (cells, is_refused) in zip(rows, read[table], strict=True)
            if is_refused
            or keys[_texts(cells, schema.key)] > 1
            or _misses(cells, schema.references, known)
        ]
    return {table: rows for table, rows in doubtful.items() if rows}


@cache
def library_schema(table: str) -> Schema:
    """The schema of one table as the data package library has it; read it only."""
    from frictionless import Schema  # noqa: PLC0415, it takes a fifth of a second to import

    return Schema.from_descriptor(json.loads(read_schema_text(table)))


@cache
def _library_reader(table: str, column: str) -> CellReader:
    reader: CellReader = library_schema(table).get_field(column).create_cell_reader()
    return reader


@cache
def _columns(table: str) -> Mapping[str, Mapping[str, object]]:
    return {field["name"]: field for field in json.loads(read_schema_text(table))["fields"]}


@cache
def cell_reader(table: str, column: str) -> CellReader:
    """The reader of one column: from text to a value, and what is wrong with it.

    It is the library's own but for cells that are plainly in order. What was made of a text is
    kept: most cells hold what many others do.
    """
    plain = plain_reader(_columns(table)[column])

    def read(text: str | None) -> tuple[object, Mapping[str, str] | None]:
        value = plain(text)
        if value is not UNSURE:
            return value, None
        try:
            return _library_reader(table, column)(text)
        except ArithmeticError:  # a number that cannot be compared with any, such as sNaN
            return None, {"type": "it is no number"}

    return lru_cache(maxsize=TEXTS_KEPT)(read)


def _read(table: str, rows: Sequence[Row]) -> Iterator[tuple[TypedCells, bool]]:
    """The typed cells of each row, and whether any of them is refused."""
    if not rows:
        return  # nor need the library begin to read that table
    schema = read_schema(table)
    readers = [(column, cell_reader(table, column)) for column in schema.columns]
    for row in rows:
        typed, is_refused, texts = {}, False, row.cells
        for column, read in readers:
            typed[column], notes = read(texts[column])
            is_refused = is_refused or bool(notes)
        yield typed, is_refused or None in _texts(typed, schema.key)


def _texts(cells: TypedCells, columns: tuple[str, ...]) -> tuple[object, ...]:
    return tuple([cells[column] for column in columns])


def _misses(
    cells: TypedCells, references: Sequence[Reference], known: Mapping[Reference, Keys]
) -> bool:
    """Whether a reference that is not blank leads nowhere."""
    for reference in references:
        key = _texts(cells, reference.columns)
        if key not in known[reference] and any(value is not None for value in key):
            return True
    return False
