"""Comparisons of many set-ups are Parquet alone, in every part of a dataset."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import duckdb
import frictionless
import pytest

from desk.editions import LATE, seal
from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.dataset import tables, write_dataset
from trialpress.dataset.parquet_rows import MOST_KEYS, unshared_rows
from trialpress.dataset.release import Release
from trialpress.dataset.tables import MOST_SETUPS_AS_TEXT, published_tables
from trialpress.desk.edition.changes import changes_between
from trialpress.desk.verify import verify_dataset
from trialpress.flow import open_whole

COLUMNS = ("setup", "other", "low")
KEY = ("setup", "other")


def written(file: Path, rows: str) -> Path:
    """A Parquet file of a query."""
    duckdb.execute(f"copy ({rows}) to '{file}'")
    return file


def test_comparisons_alone_leave_text_above_a_number_of_setups() -> None:
    few, many = published_tables(MOST_SETUPS_AS_TEXT), published_tables(MOST_SETUPS_AS_TEXT + 1)

    assert not any(table.is_parquet_only for table in few)
    (large,) = (table for table in many if table.is_parquet_only)
    assert large.files == ("results/comparisons.parquet",)
    assert [replace(table, is_parquet_only=False) for table in many] == list(few)


def test_rows_of_two_files_that_are_not_shared_are_found_by_their_key(tmp_path: Path) -> None:
    pairs = "select a as setup, b as other, a / 7 + b as low from range(300) t(a), range(300) u(b)"
    one = written(tmp_path / "one.parquet", f"{pairs} order by setup")
    other = written(tmp_path / "other.parquet", f"{pairs} order by other desc")
    changed = pairs.replace("a / 7 + b", "if((a, b) = (12, 7), null, a / 7 + b)")
    third = written(tmp_path / "third.parquet", f"{changed} where a < 299 or b > 0")

    assert unshared_rows(one, other, COLUMNS, KEY) == ([], [])
    here, there = unshared_rows(one, third, COLUMNS, KEY)
    assert [(row["setup"], row["other"]) for row in here] == [(12, 7), (299, 0)]
    assert there == [{"setup": 12, "other": 7, "low": None}]


def test_a_row_that_stands_twice_is_found_and_no_more_than_some_are_told(tmp_path: Path) -> None:
    rows = "select a as setup, 0 as other, 1.5 as low from range(5000) t(a)"
    one = written(tmp_path / "one.parquet", rows)
    twice = written(tmp_path / "twice.parquet", f"{rows} union all {rows} where a = 3")
    zero = written(tmp_path / "zero.parquet", rows.replace("1.5", "0.0"))

    assert unshared_rows(one, twice, COLUMNS, KEY) == ([], [{"setup": 3, "other": 0, "low": 1.5}])
    assert [len(rows) for rows in unshared_rows(one, zero, COLUMNS, KEY)] == [MOST_KEYS] * 2


def test_a_dataset_of_many_setups_is_described_compared_and_verified(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tables, "MOST_SETUPS_AS_TEXT", 1)
    folder = tmp_path / "dataset"
    with open_whole(Bench(copy_of_small_bench(tmp_path / "bench")), LATE) as store:
        listing = write_dataset(store, folder, Release("1.0.0", "first"))
    shutil.copytree(folder, tmp_path / "again")
    comparisons = folder / "results" / "comparisons.parquet"
    held = duckdb.read_parquet(str(comparisons))

    assert len(held) > 0
    assert not comparisons.with_suffix(".csv").exists()
    assert [file.name for file in listing if "comparisons" in file.name] == [
        "results/comparisons.parquet",
        "schemas/comparisons.json",
    ]
    assert "so Parquet alone: comparisons." in (folder / "README.md").read_text("utf-8")
    assert ",comparisons,relation," in (folder / "dictionary.csv").read_text("utf-8")
    package = frictionless.Package(str(folder / "datapackage.json"))
    assert package.get_resource("comparisons").path == "results/comparisons.parquet"
    assert changes_between(tmp_path / "again", folder).results == ()

    forged = held.project("* replace (difference + 1 as difference)").limit(1)
    kept = held.except_(held.limit(1)).union(forged)
    kept.write_parquet(str(tmp_path / "forged.parquet"))
    (tmp_path / "forged.parquet").replace(comparisons)
    seal(folder)

    told = verify_dataset(folder, lambda _: None)
    assert not told.faults
    assert not told.formats
    assert {(one.table, one.column) for one in told.results} == {
        ("results/comparisons.parquet", "difference")
    }
    assert changes_between(tmp_path / "again", folder).results == ("comparisons",)
