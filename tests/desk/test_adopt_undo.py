"""The last adoption is taken back whole, or not at all; what was not shown is not written."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.adopt import (
    Adoption,
    AdoptionRequest,
    Mapping,
    adopt,
    last_adoption,
    write_adoption,
)
from trialpress.desk.last_change import NothingToUndoError, StillNeededError, UndoneNoMoreError
from typed import trialpress

SAID = Mapping(fixed={"protocol": "edges"})
ROWS = "date,machine,dose,net\n2031-04-03,Stick One,10.0,1.2\n2031-03-09,Robot Two,10.1,1.9\n"
RUN = "2031-04-03-adopted-01"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of_small_bench(tmp_path / "bench"))


def contents(bench: Bench) -> dict[str, bytes]:
    """Every typed file and every folder."""
    return {
        path.relative_to(bench.data).as_posix(): path.read_bytes() if path.is_file() else b""
        for path in bench.data.rglob("*")
    }


def adopted(bench: Bench, rows: str = ROWS) -> Adoption:
    file = bench.root / "old.csv"
    file.write_text(rows, encoding="utf-8")
    adoption = adopt(bench, AdoptionRequest(file, SAID))
    write_adoption(bench, adoption)
    return adoption


def test_the_last_adoption_is_taken_back_whole_and_can_be_done_again(bench: Bench) -> None:
    before = contents(bench)
    adopted(bench)
    written = contents(bench)

    what = last_adoption(bench).undo()

    assert what == "2 rows of old.csv were adopted"
    assert contents(bench) == before
    adopted(bench)
    assert contents(bench) == written


def test_only_the_last_one_goes_of_two_in_the_same_files(bench: Bench) -> None:
    adopted(bench)
    first = contents(bench)
    adopted(bench, f"{ROWS}2031-04-03,Stick One,10.2,1.3\n")

    last_adoption(bench).undo()

    assert contents(bench) == first
    with pytest.raises(NothingToUndoError, match="no spreadsheet was adopted here"):
        last_adoption(bench).undo()


def test_files_that_somebody_changed_since_are_named_and_nothing_is_taken_back(
    bench: Bench,
) -> None:
    adopted(bench)
    for day in ("2031-04-03-adopted", "2031-03-09-adopted"):
        with (bench.days / day / "weighings.csv").open("a", encoding="utf-8") as file:
            file.write("\n")
    changed = contents(bench)

    with pytest.raises(UndoneNoMoreError) as caught:
        last_adoption(bench).undo()

    assert str(caught.value) == (
        "data/days/2031-03-09-adopted/weighings.csv, data/days/2031-04-03-adopted/weighings.csv "
        "were saved by another program since 2 rows of old.csv were adopted, so nothing was "
        "undone. Change or delete the rows in them."
    )
    assert contents(bench) == changed


def test_rows_that_a_correction_refers_to_stay(bench: Bench) -> None:
    adopted(bench)
    with (bench.data / "corrections.csv").open("a", encoding="utf-8") as file:
        file.write(f"c-9,weighings,{RUN},dose_g,2031-04-04,10.0,10.1,misread\n")

    with pytest.raises(StillNeededError, match="without it the bench has a fault"):
        last_adoption(bench).undo()


def test_an_adoption_that_a_power_cut_left_half_done_is_finished_and_taken_back_as_one(
    bench: Bench,
) -> None:
    before = contents(bench)
    adopted(bench)
    (bench.days / "2031-04-03-adopted" / "weighings.csv").unlink()

    assert len(adopted(bench).rows) == 1
    last_adoption(bench).undo()

    assert contents(bench) == before


@pytest.mark.parametrize("name", ["data/bench.toml", "data/days/../../old.csv", "data/adopted/.."])
def test_a_memory_that_names_other_files_takes_nothing_back(name: str, bench: Bench) -> None:
    memory = bench.root / "build" / "last-adoption.json"
    memory.parent.mkdir(exist_ok=True)
    item = {"name": name, "before": None, "after": ""}
    memory.write_text(json.dumps({"what": "x", "files": [item]}), encoding="utf-8")
    before = contents(bench)

    said = trialpress("adopt", "--undo", folder=bench.root)

    assert said.returncode == 1
    assert contents(bench) == before


@pytest.mark.parametrize(
    "text", ["[" * 100_000, '{"what": "x", "files": [1]}', '{"what": "x", "files": {}}', "\udcff"]
)
def test_a_memory_that_is_none_is_no_change(text: str, bench: Bench) -> None:
    memory = bench.root / "build" / "last-adoption.json"
    memory.parent.mkdir(exist_ok=True)
    memory.write_text(text, "utf-8", "surrogateescape")

    assert last_adoption(bench).what is None


def test_a_memory_with_bytes_that_are_none_is_no_change(bench: Bench) -> None:
    memory = bench.root / "build" / "last-adoption.json"
    memory.parent.mkdir(exist_ok=True)
    item = {"name": "data/days/2031-04-03-a/values.csv", "before": "%%%", "after": None}
    memory.write_text(json.dumps({"what": "x", "files": [item]}), "utf-8")

    with pytest.raises(NothingToUndoError):
        last_adoption(bench).undo()


def test_a_file_changed_between_showing_and_writing_is_refused(bench: Bench) -> None:
    file, mapping = bench.root / "old.csv", bench.root / "old.toml"
    file.write_text(ROWS, encoding="utf-8")
    mapping.write_text('[fixed]\nprotocol = "edges"\n', encoding="utf-8")
    command = ("adopt", "old.csv", "--map", "old.toml")
    before = contents(bench)
    trialpress(*command, folder=bench.root)
    file.write_text(ROWS.replace("1.2", "1.3"), encoding="utf-8")

    said = trialpress(*command, "--write", folder=bench.root)

    assert said.returncode == 1
    assert "was changed since its rows were shown, so nothing was written." in said.stderr
    assert contents(bench) == before
    assert trialpress(*command, folder=bench.root).returncode == 0
    assert trialpress(*command, "--write", folder=bench.root).returncode == 0
