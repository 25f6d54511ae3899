"""The schemas of all tables, as data.

In:  the JSON files shipped with the package.
Out: valid Table Schemas with a title, a description and a bound for every column that needs one.
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from frictionless import Schema

from trialpress.bench import TABLES
from trialpress.intake import read_schema, read_schema_text

# Columns as the bench's users know them; ? marks those that may be blank.
COLUMNS = {
    "makers": "maker name website?",
    "machines": "machine maker name kind released? price? currency? priced_on? acquired head? mop? "
    "note?",
    "setups": "setup machine label brushes? mode? pattern? overlap? water? firmware? specimen? "
    "stock reference publish_on?",
    "floors": "floor name covering pile_mm? called? laid_on? lifted_on? note?",
    "soils": "soil name material grade? standard? hazard?",
    "instruments": "instrument quantity unit resolution calibrated_on? calibration_u?",
    "protocols": "protocol version title reading kinds? floor? soil? dose_g? dose_tolerance_g? "
    "passes? minutes? clean_limit? zones? unit better min_runs matters least? most? from_date "
    "to_date? continues in_overall",
    "claims": "claim machine setup? quantity value unit tolerance_pct? source stated_on",
    "weighings": "run at setup protocol version replicate? instrument? dose_g dose_by? "
    "dose_instrument? before_g? after_g? gain_g? blank_g? soil_lot? operator? clip? status "
    "reason? note?",
    "values": "run at setup protocol version replicate? instrument? value operator? clip? status "
    "reason? note?",
    "counts": "run at setup protocol version replicate? hits tries operator? clip? status reason? "
    "note?",
    "gradings": "run zone grader at setup protocol version replicate? grade clip? status reason? "
    "note?",
    "conditions": "at temp_c rh_pct instrument?",
    "photos": "photo run zone? file caption alt",
    "films": "film title address published_on?",
    "film_marks": "film at label run? setup? protocol?",
    "corrections": "correction table row column corrected_on was? now? why",
}
KEYS = {
    "protocols": ("protocol", "version"),
    "gradings": ("run", "zone", "grader"),
    "corrections": ("correction", "table", "row", "column"),
    "film_marks": ("film", "at", "label"),
}


def descriptor(table: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(read_schema_text(table))
    return found


@pytest.mark.parametrize("table", TABLES)
def test_the_schema_is_valid(table: str) -> None:
    assert list(Schema.metadata_validate(descriptor(table))) == []


@pytest.mark.parametrize("table", TABLES)
def test_the_columns_are_those_the_bench_has(table: str) -> None:
    fields = read_schema(table).fields

    named = [f.name + ("" if f.required or f.blank_until_run else "?") for f in fields]

    assert named == COLUMNS[table].split()


@pytest.mark.parametrize("table", TABLES)
def test_the_key_is_that_of_the_table(table: str) -> None:
    schema = read_schema(table)

    assert schema.key == KEYS.get(table, schema.columns[:1])


@pytest.mark.parametrize("table", TABLES)
def test_every_table_and_column_says_what_it_is(table: str) -> None:
    schema = read_schema(table)

    assert schema.title
    assert schema.description.endswith(".")
    for field in schema.fields:
        assert field.title
        assert field.description.endswith(".")


@pytest.mark.parametrize("table", TABLES)
def test_every_number_and_date_is_bounded_and_every_text_has_an_end(table: str) -> None:
    for field in descriptor(table)["fields"]:
        constraints = field.get("constraints", {})
        if field["type"] in ("number", "integer", "date"):
            assert constraints["minimum"] < constraints["maximum"]
        elif field["type"] == "string" and field["name"] not in ("at", "currency"):
            assert "maxLength" in constraints or "enum" in constraints


@pytest.mark.parametrize("table", TABLES)
def test_every_pattern_is_anchored(table: str) -> None:
    for field in descriptor(table)["fields"]:
        pattern = field.get("constraints", {}).get("pattern", "^$")
        assert pattern.startswith("^")
        assert pattern.endswith("$")


@pytest.mark.parametrize("table", TABLES)
def test_every_reference_leads_to_a_key(table: str) -> None:
    for reference in read_schema(table).references:
        assert reference.key == read_schema(reference.table).key
        assert set(reference.columns) <= set(read_schema(table).columns)


def test_masses_are_in_grams_and_say_so() -> None:
    units = {
        field.name: field.unit
        for table in TABLES
        for field in read_schema(table).fields
        if field.name.endswith("_g")
    }

    assert set(units.values()) == {"g"}


def test_an_unknown_table_is_a_bug() -> None:
    with pytest.raises(ValueError, match="wiegungen"):
        read_schema("wiegungen")
