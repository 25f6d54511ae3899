"""Each table is the same in both formats, and the typed rows are as they were typed."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import duckdb
import pytest

from dataset.demo import ROOT, demo_store
from trialpress.dataset import DatasetListing, write_dataset
from trialpress.dataset.tables import PublishedTable, published_tables

TABLES = published_tables()
READ: dict[str, Callable[[str], object]] = {
    "string": str,
    "integer": int,
    "number": float,
    "date": date.fromisoformat,
    "boolean": {"true": True, "false": False}.__getitem__,
}


def csv_rows(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def typed_rows(folder: Path, table: PublishedTable) -> Iterator[tuple[object, ...]]:
    """The CSV's rows, each cell read by its column's type."""
    for row in csv_rows(folder / table.csv):
        yield tuple(
            READ[column.type](row[column.name]) if row[column.name] else None
            for column in table.columns
        )


@pytest.mark.usefixtures("listing")
@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_csv_and_parquet_hold_the_same_rows(table: PublishedTable, dataset: Path) -> None:
    parquet = duckdb.read_parquet(str(dataset / table.parquet))

    assert parquet.columns == [column.name for column in table.columns]
    assert list(typed_rows(dataset, table)) == parquet.fetchall()


@pytest.mark.usefixtures("listing")
def test_the_demo_fills_nearly_every_table(dataset: Path) -> None:
    empty = {table.name for table in TABLES if not csv_rows(dataset / table.csv)}

    assert empty <= {"not_ranked", "findings"}


@pytest.mark.usefixtures("listing")
def test_typed_rows_are_the_text_of_the_file_and_row_they_name(dataset: Path) -> None:
    checked = 0
    for table in (table for table in TABLES if table.folder == "as_typed"):
        for row in csv_rows(dataset / table.csv):
            source = csv_rows(ROOT / row.pop("source_file"))[int(row.pop("source_row")) - 2]
            assert {name: cell for name, cell in row.items() if cell or name in source} == source
            checked += 1
    assert checked > 100


@pytest.mark.usefixtures("listing")
def test_figures_have_the_decimals_that_their_row_publishes(dataset: Path) -> None:
    figures = [
        (column.name, row)
        for table in TABLES
        for column in table.columns
        for row in csv_rows(dataset / table.csv)
        if column.decimals_from in row and row[column.name]
    ]

    assert len(figures) > 100
    for name, row in figures:
        whole, _, decimals = row[name].partition(".")
        assert whole
        assert len(decimals) == int(row["decimals"]), (name, row)


@pytest.mark.usefixtures("listing")
def test_no_text_would_run_as_a_formula_in_a_spreadsheet(dataset: Path) -> None:
    for table in TABLES:
        texts = [column.name for column in table.columns if column.type == "string"]
        for row in csv_rows(dataset / table.csv):
            risky = [row[name] for name in texts if row[name][:1] in set("=+-@\t\r")]
            assert not risky, table.name


def test_what_may_not_be_seen_yet_is_in_no_file(tmp_path: Path, listing: DatasetListing) -> None:
    """One day before the latest embargo ends, nothing names the set-up or comes from later."""
    setups = csv_rows(ROOT / "data/catalogue/setups.csv")
    hidden = max(setups, key=lambda row: row["publish_on"] or "")
    assert hidden["publish_on"]
    day_before = date.fromordinal(date.fromisoformat(hidden["publish_on"]).toordinal() - 1)
    store = demo_store(day_before)

    written = write_dataset(store, tmp_path)
    store.connection.close()

    assert {file.name for file in written} == {file.name for file in listing}
    for file in written:
        assert hidden["setup"].encode() not in (tmp_path / file.name).read_bytes(), file.name
    days = {row["day"] for row in csv_rows(tmp_path / "results/run_results.csv")}
    assert days
    assert max(days)[:10] <= day_before.isoformat()
