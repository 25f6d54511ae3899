"""A dataset is verified from its raw rows; what somebody changed in it is named."""

from __future__ import annotations

import json
import math
import os
import shutil
from dataclasses import replace
from pathlib import Path
from typing import cast

import duckdb
import pytest

from desk.editions import EARLY, change, say_another_program_made_it, seal, unpacked
from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.dataset.release import Program
from trialpress.desk.edition import make_edition
from trialpress.desk.verify import (
    Difference,
    Verification,
    VerificationOutcome,
    comparing,
    verify_dataset,
)
from trialpress.desk.verify.comparing import compare_formats
from trialpress.desk.verify.differences import keyed
from trialpress.desk.verify.formats import WrongTableError, format_differences, held_tables
from trialpress.desk.verify.means import mean_differences
from trialpress.desk.verify.verifying import OddDatasetError, _dataset_in
from trialpress.editions import Version, opened_archive
from typed import trialpress


@pytest.fixture
def dataset(small_edition: Path, tmp_path: Path) -> Path:
    """The same edition unpacked, to be changed."""
    return unpacked(small_edition, tmp_path / "dataset")


def test_a_downloaded_edition_is_confirmed_in_an_empty_folder(
    small_edition: Path, tmp_path: Path
) -> None:
    shutil.copy(small_edition, tmp_path / "found.zip")

    done = trialpress("verify", "found.zip", folder=tmp_path)

    assert done.returncode == 0, done.stdout
    assert "Dataset 1.0.0 as of 2031-05-01, made by Trialpress " in done.stdout
    assert "Confirmed: every file is as it was" in done.stdout
    assert [path.name for path in tmp_path.iterdir()] == ["found.zip"]


def test_the_formats_of_a_folder_are_read_by_the_name_it_has_where_one_stands(
    dataset: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(dataset.parent)
    folder = Path(dataset.name)
    tables = held_tables(folder, json.loads((folder / "datapackage.json").read_bytes()))

    assert list(format_differences([table for table in tables if table.name == "cells"])) == []


def test_numbered_graders_are_numbered_alike_when_results_are_worked_out_anew(
    tmp_path: Path,
) -> None:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    change(bench.settings_file, "show_operators = true", "show_operators = false")
    gradings = bench.days / "2031-03-02-hall" / "gradings.csv"
    gradings.write_text(gradings.read_text("utf-8").replace(",ann,", ",zoe,"), "utf-8")
    edition = make_edition(bench, EARLY, Version.of("1.0.0"), lambda _: None).file
    assert edition is not None

    found = verify_dataset(edition, lambda _: None)

    assert found.verdict is VerificationOutcome.CONFIRMED
    with opened_archive(edition) as archive:
        agreements = archive.read("results/agreements.csv")
    assert b"grader-1,grader-2" in agreements


def test_one_digit_of_a_raw_row_is_named_with_what_rests_on_it(dataset: Path) -> None:
    """By hand: hall-01 gained 278.4 - 260.1 = 18.3 g of 20.1 g, 91.04 %; with 278.3, 90.55 %."""
    change(dataset / "as_typed" / "weighings.csv", "260.1,278.4", "260.1,278.3")

    done = trialpress("verify", str(dataset), "--json", folder=dataset)

    assert done.returncode == 1
    told = json.loads(done.stdout)
    assert told["verdict"] == "changed"
    assert told["faults"][0].startswith("as_typed/weighings.csv is not as it was")
    found = [
        (one["table"], one["row"], one["column"], one["here"], one["there"])
        for one in told["differences"]
    ]
    assert ("as_typed/weighings.csv", "hall-01", "after_g", "278.3", "278.4") in found
    assert ("results/run_results.csv", "hall-01", "value", "91.0", "90.5") in found


def forge(dataset: Path) -> None:
    """Change what is said of a run, take away the formats that say otherwise, and mend the sums."""
    results = dataset / "results" / "run_results.csv"
    change(results, "pickup,1,2,91.0,0.2,", "pickup,1,2,91.0,0.3,")
    for copy in ("results/run_results.parquet", "dataset.sqlite", "small-tables.xlsx"):
        (dataset / copy).unlink()
    seal(dataset)


def test_one_digit_of_a_result_is_named_even_where_all_sums_fit(dataset: Path) -> None:
    """Made by another version: that its figures differ is told apart from tampering."""
    say_another_program_made_it(dataset)
    forge(dataset)

    done = trialpress("verify", str(dataset), folder=dataset)

    assert done.returncode == 3
    assert "made by Trialpress 0.0.9 (0123456789ab)" in done.stdout
    assert (
        "difference: results/run_results.csv, row hall-01, u_value: "
        "0.3 published, 0.2 from the raw rows" in done.stdout
    )
    assert "Not decided: the files are whole" in done.stdout


def test_a_mean_that_is_not_that_of_its_runs_was_changed_whoever_reads_it(dataset: Path) -> None:
    cells = dataset / "results" / "cells.csv"
    change(cells, "one-stock,edges,1,1,89.0,", "one-stock,edges,1,1,98.0,")
    tables = held_tables(dataset, json.loads((dataset / "datapackage.json").read_bytes()))

    (found,) = mean_differences(tables)

    place = "results/cells.csv, row one-stock|edges|1, mean"
    assert found.text == f"{place}: 98.0 published, 89.0 from the values of its runs"


def test_what_the_same_program_works_out_otherwise_was_changed() -> None:
    this, other = Program("0.1.0", "aa"), Program("0.1.0", "bb")
    found = Difference("results/cells.csv", "one", "mean", "1", "2", ("published", "anew"))
    done = Verification(
        version="1.0.0",
        as_of=EARLY,
        made_by=this,
        read_by=this,
        sum=None,
        tables=1,
        rows=1,
        faults=(),
        formats=(),
        results=(found,),
    )

    assert done.verdict is VerificationOutcome.CHANGED
    assert replace(done, read_by=other).verdict is VerificationOutcome.UNDECIDED
    assert replace(done, read_by=other, formats=(found,)).verdict is VerificationOutcome.CHANGED
    assert replace(done, read_by=other, results=()).verdict is VerificationOutcome.CONFIRMED


@pytest.mark.parametrize(
    ("file", "old", "new", "words"),
    [
        ("as_typed/weighings.csv", "20.1,reading", "-20.1,reading", "the raw rows have faults"),
        ("as_typed/soils.csv", "data/catalogue/", "data/../../", "is no file of a bench"),
        ("datapackage.json", '"name": "cells"', '"name": 1', "is not as it was"),
        ("schemas/cells.json", '"fields"', '"felds"', "it describes no tables"),
        ("bench.toml", "format = 1", "format = 2", "the raw rows have faults"),
    ],
)
def test_what_no_program_wrote_is_told_in_words(
    dataset: Path, file: str, old: str, new: str, words: str
) -> None:
    text = (dataset / file).read_text("utf-8")
    (dataset / file).write_text(text.replace(old, new, 1), encoding="utf-8")
    for copy in ("dataset.sqlite", "small-tables.xlsx"):
        (dataset / copy).unlink()

    done = verify_dataset(dataset, lambda _: None)

    assert done.verdict is VerificationOutcome.CHANGED
    assert words in " ".join(done.faults)


def test_a_folder_that_holds_one_dataset_stands_for_it(tmp_path: Path) -> None:
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
    (tmp_path / "one" / "datapackage.json").touch()

    assert _dataset_in(tmp_path) == _dataset_in(tmp_path / "one") == tmp_path / "one"
    (tmp_path / "two" / "datapackage.json").touch()
    assert _dataset_in(tmp_path) is None


def test_what_is_no_dataset_is_wrong_use(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()

    for name in ("empty", "nothing.zip"):
        done = trialpress("verify", name, folder=tmp_path)
        assert done.returncode == 2
        assert "is no dataset: name the zip of an edition" in done.stderr


@pytest.mark.parametrize("decimals", ["", "-400", "1000000000"])
def test_decimals_that_no_figure_has_are_a_fault(decimals: str, dataset: Path) -> None:
    cells = dataset / "results" / "cells.csv"
    header, first, rest = cells.read_text("utf-8").split("\n", 2)
    row = dict(zip(header.split(","), first.split(","), strict=True)) | {"decimals": decimals}
    cells.write_text("\n".join([header, ",".join(row.values()), rest]), "utf-8")
    tables = held_tables(dataset, json.loads((dataset / "datapackage.json").read_bytes()))

    with pytest.raises(WrongTableError, match=f"has {decimals or None} decimals"):
        list(mean_differences(tables))


def test_values_without_a_mean_differ_from_any(dataset: Path) -> None:
    tables = held_tables(dataset, json.loads((dataset / "datapackage.json").read_bytes()))
    runs = next(table for table in tables if table.name == "run_results")
    for number, row in enumerate(runs.values.values()):
        cast("dict[str, object]", row)["value"] = math.inf if number % 2 else -math.inf

    assert {found.there for found in mean_differences(tables)} == {"nan", "inf", "-inf"}


def test_rows_with_one_key_are_numbered_however_many_there_are() -> None:
    rows = [{"setup": "a"}, {"setup": "a (3)"}, *[{"setup": "a"}] * 20_000]

    found = list(keyed(rows, ["setup"]))

    assert found[:4] == ["a", "a (3)", "a (2)", "a (4)"]
    assert len(found) == len(rows)


def test_a_file_that_unpacks_to_rows_without_end_is_given_up(
    dataset: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(comparing, "WORK_S", 1)
    monkeypatch.setattr(comparing, "WORK_S_PER_MB", 0)
    bomb = dataset / "results" / "cells.parquet"
    with duckdb.connect() as connection:
        rows = connection.query("from range(4_000_000) select 'x' as setup")
        rows.write_parquet(str(bomb))

    found = compare_formats(dataset, json.loads((dataset / "datapackage.json").read_bytes()))

    assert found.fault == comparing.TOO_MUCH


def test_a_folder_with_a_link_or_a_pipe_is_not_read(dataset: Path) -> None:
    table = dataset / "results" / "cells.csv"
    table.unlink()
    table.symlink_to("/dev/zero")
    with pytest.raises(OddDatasetError, match="leads out of"):
        verify_dataset(dataset, lambda _: None)

    table.unlink()
    os.mkfifo(table)
    with pytest.raises(OddDatasetError, match="no ordinary file"):
        verify_dataset(dataset, lambda _: None)
