"""Each table is the same in both formats, and the typed rows are as they were typed.

The Parquet files are written by DuckDB and read here by Apache Arrow.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pyarrow.parquet
import pytest

from demo_build import AS_OF, ROOT
from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.dataset import DatasetListing
from trialpress.dataset.tables import PublishedTable, published_tables
from trialpress.flow import Order, Output, build

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
    parquet = pyarrow.parquet.read_table(dataset / table.parquet)

    assert parquet.column_names == [column.name for column in table.columns]
    assert list(typed_rows(dataset, table)) == [tuple(row.values()) for row in parquet.to_pylist()]


@pytest.mark.usefixtures("listing")
def test_the_demo_fills_nearly_every_table(dataset: Path) -> None:
    empty = {table.name for table in TABLES if not csv_rows(dataset / table.csv)}

    assert empty <= {"not_ranked", "findings"}


def test_typed_rows_are_the_text_of_the_file_and_row_they_name(tmp_path: Path) -> None:
    """With nothing hidden: rows are numbered as if what is hidden were not there."""
    bench = copy_of_small_bench(tmp_path / "bench")
    until = date(2031, 7, 1)
    build(Order(Bench(bench), until, tmp_path / "out", (Output.DATASET,), lambda _: None))

    tables = [table for table in TABLES if table.folder == "as_typed"]
    rows = [row for table in tables for row in csv_rows(tmp_path / "out/dataset" / table.csv)]

    for row in rows:
        source = csv_rows(bench / row.pop("source_file"))[int(row.pop("source_row")) - 2]
        assert {name: cell for name, cell in row.items() if cell or name in source} == source
    files = [*bench.glob("data/**/*.csv")]
    assert len(rows) == sum(len(csv_rows(file)) for file in files) > 40


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


def test_what_may_not_be_seen_yet_is_in_no_file(dataset: Path, listing: DatasetListing) -> None:
    """Before the latest embargo ends, nothing names the set-up or comes from later."""
    setups = csv_rows(ROOT / "data/catalogue/setups.csv")
    hidden = max(setups, key=lambda row: row["publish_on"] or "")
    assert hidden["publish_on"] > AS_OF.isoformat()

    for file in listing:
        assert hidden["setup"].encode() not in (dataset / file.name).read_bytes(), file.name
    days = {row["day"] for row in csv_rows(dataset / "results/run_results.csv")}
    assert days
    assert max(days)[:10] <= AS_OF.isoformat()
