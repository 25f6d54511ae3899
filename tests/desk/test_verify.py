"""A dataset is verified from its raw rows; what somebody changed in it is named."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from desk.editions import EARLY, change, say_another_program_made_it, seal, unpacked
from trialpress.dataset.release import Program
from trialpress.desk.verify import Difference, Verification, VerificationOutcome, verify_dataset
from trialpress.desk.verify.formats import held_tables
from trialpress.desk.verify.means import mean_differences
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


def test_what_is_no_dataset_is_wrong_use(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()

    for name in ("empty", "nothing.zip"):
        done = trialpress("verify", name, folder=tmp_path)
        assert done.returncode == 2
        assert "is no dataset: name the zip of an edition" in done.stderr
