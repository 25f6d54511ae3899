"""The dataset describes itself truly, and a stranger can load it."""

from __future__ import annotations

import csv
import re
import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path
from zipfile import ZipFile

import duckdb
import frictionless
import pandas as pd
import pytest

from dataset.loaded import loaded
from demo_build import ROOT
from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.dataset import DatasetListing, write_dataset
from trialpress.dataset.archive import ARCHIVE, TOP_FOLDER
from trialpress.dataset.tables import TRACE, published_tables
from trialpress.flow import Order, Output, build
from trialpress.store import Store

TABLES = published_tables()
README_CODE = re.compile(r"^```(\w+)\n(.*?)^```", re.MULTILINE | re.DOTALL)


def files_below(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.mark.usefixtures("listing")
def test_an_independent_validator_finds_the_package_valid(dataset: Path) -> None:
    report = frictionless.validate(str(dataset / "datapackage.json"))

    assert report.valid, report.flatten(["type", "title", "message", "note"])
    assert report.stats["tasks"] == len(TABLES)


@pytest.mark.usefixtures("listing")
def test_a_wrong_cell_makes_a_table_of_the_package_invalid(dataset: Path, tmp_path: Path) -> None:
    shutil.copytree(dataset, tmp_path / "changed")
    file = tmp_path / "changed" / "results" / "standings.csv"
    file.write_text(file.read_text("utf-8").replace(",certain,", ",surely,", 1), "utf-8")
    package = frictionless.Package(str(tmp_path / "changed" / "datapackage.json"))

    report = package.get_resource("standings").validate()

    assert [task.name for task in report.tasks if not task.valid] == ["standings"]


def test_a_value_that_is_read_on_no_floor_is_published_as_valid(tmp_path: Path) -> None:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    protocols = bench.catalogue / "protocols.csv"
    text = protocols.read_text("utf-8")
    protocols.write_text(text.replace("value,boards,", "value,,"), "utf-8")
    out = tmp_path / "out"

    build(Order(bench, date(2031, 7, 1), out, (Output.DATASET,), lambda _: None))

    package = frictionless.Package(str(out / "dataset" / "datapackage.json"))
    with_floors = [one for one in package.resources if "floor" in one.schema.field_names]
    reports = {one.name: one.validate() for one in with_floors}
    drift = pd.read_csv(out / "dataset" / "results" / "drift.csv")
    assert {"protocols", "drift"} <= reports.keys()
    assert [name for name, report in reports.items() if not report.valid] == []
    assert drift[drift["protocol"] == "noise"]["floor"].isna().all()


def test_every_published_column_says_what_it_means_and_every_number_its_unit() -> None:
    for table in TABLES:
        assert table.title
        assert table.description
        for column in table.columns:
            place = f"{table.name}.{column.name}"
            assert column.title, place
            assert column.description.endswith("."), place
            assert column.unit or column.type != "number" or table.folder == "as_typed", place


def test_schemas_name_exactly_the_columns_of_the_store(store: Store) -> None:
    for table in TABLES:
        columns = set(store.connection.table(table.source).columns)
        held = {"day", "day_date", "row_key"} if table.folder == "as_typed" else set()

        assert {column.name for column in table.columns} == columns - held, table.name


def test_every_table_of_the_store_is_published_or_only_a_step_on_the_way(store: Store) -> None:
    steps = {"build", "runs", "run_values", "cell_means", "overall_better"}
    held = store.connection.execute(
        "select table_name from duckdb_tables() where schema_name = 'main' and not temporary"
    ).fetchall()

    assert {name for (name,) in held} == {table.name for table in TABLES} | steps


def test_the_dictionary_has_one_entry_a_column(dataset: Path, listing: DatasetListing) -> None:
    assert listing
    with (dataset / "dictionary.csv").open(encoding="utf-8", newline="") as stream:
        entries = [(row["table"], row["column"]) for row in csv.DictReader(stream)]

    assert entries == [(table.name, column.name) for table in TABLES for column in table.columns]


def test_the_listing_names_every_file_with_its_size(dataset: Path, listing: DatasetListing) -> None:
    sizes = {name: len(content) for name, content in files_below(dataset).items()}

    assert listing[0].name == ARCHIVE
    assert {file.name: file.size_bytes for file in listing} == sizes
    assert all(file.description.endswith(".") for file in listing)


def test_the_archive_holds_every_other_file_byte_for_byte(
    dataset: Path, listing: DatasetListing
) -> None:
    assert listing
    with ZipFile(dataset / ARCHIVE) as archive:
        packed = {name: archive.read(name) for name in archive.namelist()}
    others = {n: content for n, content in files_below(dataset).items() if n != ARCHIVE}

    assert packed == {f"{TOP_FOLDER}/{name}": content for name, content in others.items()}


def test_two_writings_are_the_same_bytes(
    dataset: Path, listing: DatasetListing, built_demo: Path
) -> None:
    """The other one is that of the build, before its editions are laid beside it."""
    built = {file.name: (built_demo / "dataset" / file.name).read_bytes() for file in listing}

    assert built == files_below(dataset)


def test_the_lines_of_the_guide_load_the_data(
    dataset: Path, listing: DatasetListing, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert listing
    monkeypatch.chdir(dataset)
    guide = (dataset / "README.md").read_text("utf-8")
    examples = README_CODE.findall(guide)
    python = [code for language, code in examples if language == "python"][:2]
    (sql,) = [code for language, code in examples if language == "sql"]

    frame, rows = map(loaded, python)

    assert len(frame) == len(rows["standings"]) > 0
    assert duckdb.execute(sql).fetchall()


def test_the_queries_of_the_projects_readme_find_rows(store: Store) -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    queries = [code for language, code in README_CODE.findall(readme) if language == "sql"]
    queries += re.findall(r'\.sql\("(.+?)"\)', readme)

    assert len(queries) > 2
    for query in queries:
        assert store.connection.execute(query).fetchall(), query


def test_a_licence_in_words_stays_a_valid_package(store: Store, tmp_path: Path) -> None:
    in_words = replace(store.settings, licence="Free for any use, name the bench")

    write_dataset(replace(store, settings=in_words), tmp_path)

    assert "Free for any use" in (tmp_path / "LICENCE.txt").read_text("utf-8")
    assert "spdx" not in (tmp_path / "LICENCE.txt").read_text("utf-8")
    package = frictionless.Package(str(tmp_path / "datapackage.json"))
    assert package.licenses == [
        {"title": "Free for any use, name the bench", "path": "LICENCE.txt"}
    ]


def test_the_trace_columns_are_no_table_of_their_own() -> None:
    assert TRACE not in {table.name for table in TABLES}
