"""Editions are proposed, numbered by what changed, and frozen for good."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from desk.editions import EARLY, LATE, change, unpacked
from flow.benches import copy_of_small_bench
from trialpress.desk.edition import Changes, TooSmallVersionError
from trialpress.desk.edition.changes import changes_between
from trialpress.desk.edition.making import refuse_small
from trialpress.editions import Step, Version, WrongVersionError
from typed import trialpress


@pytest.fixture
def folders(small_edition: Path, tmp_path: Path) -> tuple[Path, Path]:
    """The same dataset twice, to change one of them."""
    before = unpacked(small_edition, tmp_path / "before")
    shutil.copytree(before, tmp_path / "now")
    return before, tmp_path / "now"


def bench_of(edition: Path) -> Path:
    return edition.parents[2]


def test_the_same_rows_give_the_same_bytes_in_another_folder(
    small_edition: Path, tmp_path: Path
) -> None:
    bench = copy_of_small_bench(tmp_path / "elsewhere")

    done = trialpress("edition", "1.0.0", "--as-of", EARLY.isoformat(), "--json", folder=bench)

    assert json.loads(done.stdout)["written"] == "data/editions/1.0.0.zip"
    again = bench / "data" / "editions" / "1.0.0.zip"
    assert again.read_bytes() == small_edition.read_bytes()


def test_what_is_under_embargo_is_in_no_file_of_an_edition(
    small_edition: Path, tmp_path: Path
) -> None:
    folder = unpacked(small_edition, tmp_path)

    for file in (path for path in folder.rglob("*") if path.is_file()):
        for hidden in (b"two-stock", b"robot-two", b"Robot Two", b"Maker Two"):
            assert hidden not in file.read_bytes(), file.name


def test_the_end_of_an_embargo_adds_rows_which_is_a_minor_version(small_edition: Path) -> None:
    """What the embargo hid in the small bench, counted by hand: one set-up, four runs weighed."""
    bench = bench_of(small_edition)

    shown = trialpress("edition", "--as-of", LATE.isoformat(), folder=bench).stdout

    for line in (
        "- setups: rows added 1, gone 0, typed anew 0.",
        "- Corrected: setups, two-stock, mode, from blank to quiet. was not noted",
        "- pickup v2: two-stock is new, place 2.",
        "Since 1.0.0 this is a minor change.",
        "Nothing is written. To freeze it: trialpress edition 1.1.0",
    ):
        assert line in shown.splitlines()
    assert [file.name for file in (bench / "data" / "editions").iterdir()] == ["1.0.0.zip"]


def test_a_number_that_tells_of_less_than_changed_is_refused() -> None:
    with pytest.raises(TooSmallVersionError, match=r"1\.0\.5 is too small .* 1\.1\.0 or greater"):
        refuse_small(Version(1, 0, 5), Version(1, 1, 0))


def test_an_edition_is_never_overwritten(small_edition: Path) -> None:
    before = small_edition.read_bytes()

    date = ("--as-of", LATE.isoformat())
    done = trialpress("edition", "1.0.0", *date, folder=bench_of(small_edition))

    assert done.returncode == 2
    assert "never overwritten" in done.stderr
    assert small_edition.read_bytes() == before


def test_no_edition_is_of_an_earlier_date_than_the_last(small_edition: Path) -> None:
    done = trialpress("edition", "2.0.0", "--as-of", "2031-04-30", folder=bench_of(small_edition))

    assert done.returncode == 2
    assert "The edition 1.0.0 is as of 2031-05-01; one as of 2031-04-30 cannot" in done.stderr


@pytest.mark.parametrize("text", ["1.0", "v1.0.0", "01.0.0", "1.0.0-a", "1.0.٣", "../1.0.0", ""])
def test_what_is_no_semantic_version_is_refused(text: str) -> None:
    with pytest.raises(WrongVersionError):
        Version.of(text)


def test_versions_are_in_the_order_of_their_numbers() -> None:
    versions = [Version.of(text) for text in ("1.10.0", "1.9.9", "2.0.0", "1.9.10")]

    assert [str(version) for version in sorted(versions)] == ["1.9.9", "1.9.10", "1.10.0", "2.0.0"]
    assert [str(Version.of("1.4.2").after(step)) for step in Step] == ["1.4.3", "1.5.0", "2.0.0"]


def test_a_new_column_and_a_changed_rule_are_major(folders: tuple[Path, Path]) -> None:
    before, now = folders
    schema = now / "schemas" / "cells.json"
    told = json.loads(schema.read_bytes())
    told["fields"].append({"name": "median", "type": "number"})
    schema.write_text(json.dumps(told), encoding="utf-8")
    change(now / "bench.toml", "top_n = 3", "top_n = 4")

    changes = changes_between(before, now)

    assert (changes.forms, changes.rules) == (("cells",), ("top_n",))
    assert changes.step is Step.MAJOR


def test_a_corrected_value_is_a_patch_and_a_row_that_is_gone_is_major(
    folders: tuple[Path, Path],
) -> None:
    before, now = folders
    corrections = now / "as_typed" / "corrections.csv"
    line = "dose,weighings,hall-01,dose_g,2031-06-01,20.1,20.2,film,data/corrections.csv,7\n"
    corrections.write_text(corrections.read_text("utf-8") + line, encoding="utf-8")
    patch = changes_between(before, now)
    floors = now / "as_typed" / "floors.csv"
    floors.write_text("".join(floors.read_text("utf-8").splitlines(keepends=True)[:-1]), "utf-8")

    assert patch.step is Step.PATCH
    assert [value.why for value in patch.corrected] == ["film"]
    assert changes_between(before, now).step is Step.MAJOR


def test_what_only_looks_back_from_another_date_is_no_change(folders: tuple[Path, Path]) -> None:
    before, now = folders
    (now / "results" / "movement_spans.csv").write_text("since,as_of\n", encoding="utf-8")

    assert changes_between(before, now) == Changes((), (), (), (), (), ())
    assert changes_between(before, now).step is None
