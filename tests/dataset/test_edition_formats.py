"""An edition is read by programs that are not ours, and each finds the same values.

Sources: frictionless, pandas, DuckDB, openpyxl, PyYAML, PyLD and the SQLite of Python.
"""

from __future__ import annotations

import csv
import json
import re
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import date
from pathlib import Path

import duckdb
import frictionless
import openpyxl
import pandas as pd
import pytest
import yaml
from pyld import jsonld

from dataset.loaded import loaded
from desk.editions import unpacked
from trialpress.dataset.workbook import MOST_ROWS
from trialpress.editions.loading import RECIPE_SQL, database_line, load_lines, recipe_pandas
from web.serving import origin

CITATION_KEYS = {
    *("cff-version", "message", "type", "title", "version", "date-released", "url", "license"),
    "authors",
}
"""Those used here, of the keys of the Citation File Format 1.2.0."""

VOCABULARY = {"@context": {"@vocab": "https://schema.org/"}}


@pytest.fixture(scope="module")
def folder(small_edition: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The edition of the small bench, unpacked; only to be read."""
    return unpacked(small_edition, tmp_path_factory.mktemp("unpacked"))


@pytest.fixture(scope="module")
def database(folder: Path) -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(folder / "dataset.sqlite")) as connection:
        yield connection


def resources(folder: Path) -> list[dict[str, str]]:
    package = json.loads((folder / "datapackage.json").read_bytes())
    return list(package["resources"])


def values_of(folder: Path, resource: dict[str, str]) -> list[tuple[object, ...]]:
    """The rows of a CSV file as values, by the types of its schema."""
    schema = json.loads((folder / resource["schema"]).read_bytes())
    read: dict[str, Callable[[str], object]] = {
        "integer": int,
        "number": float,
        "boolean": lambda text: text == "true",
    }
    kinds = [read.get(field["type"], str) for field in schema["fields"]]
    with (folder / resource["path"]).open(encoding="utf-8", newline="") as stream:
        return [
            tuple(kind(cell) if cell else None for kind, cell in zip(kinds, row, strict=True))
            for row in list(csv.reader(stream))[1:]
        ]


def test_a_validator_finds_the_unpacked_edition_valid_with_its_sums(folder: Path) -> None:
    report = frictionless.validate(str(folder / "datapackage.json"))

    assert report.valid, report.flatten(["type", "title", "message", "note"])
    package = json.loads((folder / "datapackage.json").read_bytes())
    assert package["version"] == "1.0.0"
    assert package["id"] == "https://bench.example/editions/1.0.0/index.html"
    assert all(one["bytes"] and one["hash"].startswith("sha256:") for one in resources(folder))


def test_sqlite_and_the_workbook_hold_the_values_of_the_csv_files(
    folder: Path, database: sqlite3.Connection
) -> None:
    book = openpyxl.load_workbook(folder / "small-tables.xlsx", read_only=True)
    for resource in resources(folder):
        name, expected = resource["name"], values_of(folder, resource)
        suffix = "_as_typed" if resource["path"].startswith("as_typed") else ""
        held = database.execute(f'select * from "{name}{suffix}"').fetchall()  # noqa: S608
        assert held == expected, name
        if len(expected) <= MOST_ROWS:
            width = len(expected[0]) if expected else 1  # blank cells at the end are not in a sheet
            rows = list(book[name].iter_rows(min_row=2, max_col=width, values_only=True))
            full = [tuple(map(as_text, row)) + (None,) * (width - len(row)) for row in rows]
            assert full == expected, name


def as_text(cell: object) -> object:
    """A date as CSV has it; a sheet has dates with a time."""
    return cell.isoformat()[:10] if isinstance(cell, date) else cell


def test_a_table_in_sqlite_has_the_corrected_values(database: sqlite3.Connection) -> None:
    """By the corrections of the small bench: before_g went from 260.0 over 260.2 to 260.3."""
    query = "select before_g, after_g from {} where run = 'hall-02'"

    assert database.execute(query.format("weighings_as_typed")).fetchall() == [(260.0, 272.0)]
    assert database.execute(query.format("weighings")).fetchall() == [(260.3, 278.1)]


def test_both_recipes_give_the_published_means(
    folder: Path, database: sqlite3.Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    published = pd.read_csv("results/cells.csv").to_dict("records")
    weighed = {
        (protocol, version, setup): mean
        for protocol, version, setup, _, mean in database.execute(RECIPE_SQL)
    }
    *lines, last = recipe_pandas("").splitlines()
    names: dict[str, object] = {}
    exec("\n".join(lines), names)  # noqa: S102  the recipe as it is printed
    means = dict(eval(last, names)["mean"])  # noqa: S307

    assert len(RECIPE_SQL.splitlines()) == 10
    assert {key[0] for key in weighed} == {"pickup", "edges"}
    assert len(means) == len(published) > 3
    for row in published:
        key = row["protocol"], row["version"], row["setup"]
        for mean in (means[key], weighed.get(key, means[key])):
            assert mean == pytest.approx(row["mean"], abs=0.56 * 10.0 ** -row["decimals"])


def test_each_load_line_loads_the_standings(
    folder: Path, database: sqlite3.Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Over HTTP but DuckDB, whose extension for that is no part of it; R is text alone."""
    (standings,) = [one for one in resources(folder) if one["name"] == "standings"]
    expected = len(values_of(folder, standings))
    with origin(folder) as address:
        for line in load_lines(address):
            if line.language == "python":
                rows = loaded(line.code)
                assert len(rows if line.tool == "pandas" else rows["standings"]) == expected
    monkeypatch.chdir(folder)
    (sql,) = [line.code for line in load_lines("") if line.tool == "DuckDB"]
    assert duckdb.execute(sql).description
    query = re.findall(r'"(.+)"', database_line().code)[0]
    assert database.execute(query).fetchall()


def test_the_citation_file_has_what_the_format_asks_for(folder: Path) -> None:
    """Read by a YAML reader; the required keys are those of the schema of the format 1.2.0."""
    told = yaml.safe_load((folder / "CITATION.cff").read_text("utf-8"))

    assert told.keys() <= CITATION_KEYS
    assert {"cff-version", "message", "title", "authors"} <= told.keys()
    assert told["type"] == "dataset"
    assert told["version"] == "1.0.0"
    assert told["date-released"] == "2031-05-01"
    assert told["license"] == "CC-BY-4.0"


def test_the_description_is_linked_data_in_the_words_of_schema_org(folder: Path) -> None:
    """The context of schema.org, for the terms used here: names are looked up in its vocabulary."""
    context = {"contextUrl": None, "documentUrl": "https://schema.org", "document": VOCABULARY}
    described = json.loads((folder / "dataset.jsonld").read_bytes())

    graph = jsonld.flatten(described, options={"documentLoader": lambda *_: context})

    kinds = [kind for node in graph for kind in node.get("@type", [])]
    properties = {key for node in graph for key in node if not key.startswith("@")}
    assert kinds.count("https://schema.org/Dataset") == 1
    assert kinds.count("https://schema.org/DataDownload") == len(described["distribution"])
    assert all(key.startswith("https://schema.org/") for key in properties)
    assert not [kind for kind in kinds if not kind.startswith("https://schema.org/")]


def test_the_description_for_search_engines_names_every_file_with_its_size(folder: Path) -> None:
    told = json.loads((folder / "dataset.jsonld").read_bytes())

    assert (told["@context"], told["@type"]) == ("https://schema.org", "Dataset")
    assert told["version"] == "1.0.0"
    sizes = {one["contentUrl"]: one["contentSize"] for one in told["distribution"]}
    for name in ("dataset.sqlite", "small-tables.xlsx", "results/standings.parquet"):
        assert sizes[name] == f"{(folder / name).stat().st_size} B"
