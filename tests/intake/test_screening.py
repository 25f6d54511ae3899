"""The quick look at every row lets nothing pass that the data package library refuses.

In:  the tables of the small bench with cells and rows put wrong by hypothesis.
Out: what the library says of the whole bench in one package, which is the measure.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace

import frictionless
import pytest
from frictionless import Package
from hypothesis import given, settings
from hypothesis import strategies as st

from examples import examples
from intake.broken import BASE
from trialpress.bench import TABLES, Bench
from trialpress.intake.cells import _guards, check_cell
from trialpress.intake.dialect import house_row
from trialpress.intake.findings import Place
from trialpress.intake.folder import list_bench
from trialpress.intake.plain_cells import UNSURE, plain_reader
from trialpress.intake.rows import Row
from trialpress.intake.schema_check import (
    cell_reader,
    doubtful_rows,
    errors_of_library,
    library_schema,
)
from trialpress.intake.schemas import read_schema, read_schema_text
from trialpress.intake.spelling import NumberForms, house_form
from trialpress.intake.typed import read_typed

SMALL = Bench(BASE)
TYPED = read_typed(SMALL, list_bench(SMALL)).tables
Tables = Mapping[str, Sequence[Row]]

FILLED = [table for table in TABLES if TYPED[table]]
ODD_CELLS = st.sampled_from(
    [None, " ", "0", "-1", "99999", "1.5", "1e9", "nan", "true", "Yes", "2031-02-30", "\u00a0x"]
)


def said_of_the_whole_bench(tables: Tables, table: str) -> list[tuple[Row, str]]:
    resources = [
        {
            "name": name,
            "type": "table",
            "format": "inline",
            "data": [
                list(read_schema(name).columns),
                *(list(row.texts(read_schema(name).columns)) for row in rows),
            ],
            "schema": json.loads(read_schema_text(name)),
        }
        for name, rows in tables.items()
    ]
    package = Package.from_descriptor({"name": "bench", "resources": resources})
    report = package.get_resource(table).validate(limit_errors=10**9)
    return [(tables[table][error.row_number - 2], said(error)) for error in report.tasks[0].errors]


def said(error: frictionless.Error) -> str:
    """What is wrong, without the position of another row, which is counted among those seen."""
    return f"{error.type}: {error.note.partition(' at position')[0]}"


@st.composite
def worn_tables(draw: st.DrawFn) -> tuple[str, Tables]:
    """All tables, one of them with other cells, with rows missing and with rows that come twice."""
    table = draw(st.sampled_from(FILLED))
    rows = [*TYPED[table]]
    for _ in range(draw(st.integers(1, 3))):
        index = draw(st.integers(0, len(rows) - 1))
        column = draw(st.sampled_from(read_schema(table).columns))
        elsewhere = st.sampled_from([row.cells[column] for row in TYPED[table]])
        cell = draw(elsewhere | ODD_CELLS)
        rows[index] = replace(rows[index], cells={**rows[index].cells, column: cell})
    if draw(st.booleans()):
        rows.append(replace(rows[draw(st.integers(0, len(rows) - 1))], number=1000))
    if draw(st.booleans()):
        del rows[draw(st.integers(0, len(rows) - 1))]
    return table, {**TYPED, table: rows}


@settings(max_examples=examples(25))
@given(worn=worn_tables(), seen=st.sampled_from(FILLED))
def test_the_library_says_the_same_of_doubtful_rows_as_of_the_whole_bench(
    worn: tuple[str, Tables], seen: str
) -> None:
    changed, tables = worn
    for table in {changed, seen}:
        doubtful = doubtful_rows(tables).get(table, [])

        errors = errors_of_library(table, doubtful, tables) if doubtful else []

        told = [(doubtful[error.row_number - 2], said(error)) for error in errors]
        assert told == said_of_the_whole_bench(tables, table)


@given(
    text=st.sampled_from(["1,5", "1.234", "TRUE", "2.3.2031", "=1", "-", "a"]) | st.text(min_size=1)
)
def test_what_is_kept_of_a_cell_is_what_the_long_way_says(text: str) -> None:
    forms = NumberForms(delimiter=";")
    for field, is_sound in _guards("weighings"):
        house = house_row("weighings", {field.name: text}, forms)[field.name]
        assert house == (house_form(text, field, forms) or None)
        fresh = check_cell(text, field, "weighings", Place("weighings.csv", 2)) is None
        assert (is_sound(text), is_sound(text)) == (fresh, fresh)
        fresh_reader = library_schema("weighings").get_field(field.name).create_cell_reader()
        assert cell_reader("weighings", field.name)(text) == fresh_reader(text)


READERS = [
    (plain_reader(column), library_schema(table).get_field(column["name"]).create_cell_reader())
    for table in TABLES
    for column in json.loads(read_schema_text(table))["fields"]
]
NUMBERS = st.from_regex(r"[-+]?[0-9]{0,17}(\.[0-9]{0,17})?([eE][-+]?[0-9]{1,3})?", fullmatch=True)
DATES = st.from_regex(r"[0-9]{1,5}-[0-9]{1,2}-[0-9]{1,2}(T[0-9:]{0,8})?", fullmatch=True)
NAMES = st.from_regex(r"[a-z0-9-]{0,70}\n?", fullmatch=True)


@given(text=ODD_CELLS | NUMBERS | DATES | NAMES | st.text())
def test_a_cell_that_is_plainly_in_order_is_so_for_the_library(text: str | None) -> None:
    for plain, of_library in READERS:
        value = plain(text)
        if value is not UNSURE:
            expected, notes = of_library(text)
            assert (value, type(value), None) == (expected, type(expected), notes)


def test_a_column_of_another_kind_is_left_to_the_library() -> None:
    others: tuple[Mapping[str, object], ...] = (
        {"type": "time"},
        {"format": "email"},
        {"constraints": {"minLength": 2}},
        {"type": "number", "decimalChar": ","},
        {"type": "boolean", "trueValues": ["wet"], "falseValues": ["dry"]},
    )
    for more in others:
        for text in ("abc", "2", "true"):
            assert plain_reader({"name": "a", "type": "string", **more})(text) is UNSURE


def test_no_row_of_a_bench_in_order_is_in_doubt_or_needs_the_library() -> None:
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("trialpress.intake.schema_check.library_schema", None)
        cell_reader.cache_clear()

        assert doubtful_rows(TYPED) == {}
    cell_reader.cache_clear()


def test_every_constraint_of_a_schema_is_one_of_a_single_cell() -> None:
    # `unique` alone is not: the readers of single cells, which the quick look rests on, skip it.
    named = {
        name
        for table in TABLES
        for field in json.loads(read_schema_text(table))["fields"]
        for name in field.get("constraints", {})
    }

    assert "unique" not in named


def test_no_table_refers_to_itself() -> None:
    # Its doubtful rows alone would not hold what they refer to.
    to_itself = [
        table for table in TABLES if table in {ref.table for ref in read_schema(table).references}
    ]

    assert to_itself == []
