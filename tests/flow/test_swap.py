"""Outputs swapped in whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from trialpress import swap
from trialpress.swap import LOCK, OutputFolderError, put_back_retired, staging_folder, swap_in


def write(file: Path, text: str) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, encoding="utf-8")


def test_new_outputs_take_the_place_of_old_ones_whole(tmp_path: Path) -> None:
    write(tmp_path / "site" / "old.html", "old")
    write(tmp_path / "report.json", "old")

    with staging_folder(tmp_path) as staging:
        write(staging / "site" / "new.html", "new")
        write(staging / "report.json", "new")
        swap_in(staging, tmp_path, ["site", "report.json"])

    names = sorted(path.name for path in tmp_path.rglob("*"))
    assert names == [LOCK, "new.html", "report.json", "site"]
    assert (tmp_path / "report.json").read_text(encoding="utf-8") == "new"


def test_where_folders_cannot_be_exchanged_they_are_put_aside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(swap, "exchange", lambda _one, _other: False)

    test_new_outputs_take_the_place_of_old_ones_whole(tmp_path)


def test_an_old_report_does_not_vouch_for_a_new_site(tmp_path: Path) -> None:
    write(tmp_path / "report.json", "old")
    write(tmp_path / ".staging" / "site" / "new.html", "new")

    with pytest.raises(FileNotFoundError):  # as far as a kill before the new report would come
        swap_in(tmp_path / ".staging", tmp_path, ["site", "report.json"])

    assert (tmp_path / "site" / "new.html").exists()
    assert not (tmp_path / "report.json").exists()


def test_a_failure_while_writing_leaves_the_old_and_no_rest(tmp_path: Path) -> None:
    write(tmp_path / "site" / "old.html", "old")

    def write_half_a_site() -> None:
        with staging_folder(tmp_path) as staging:
            write(staging / "site" / "half.html", "half")
            raise RuntimeError

    with pytest.raises(RuntimeError):
        write_half_a_site()

    assert sorted(path.name for path in tmp_path.rglob("*")) == [LOCK, "old.html", "site"]


def test_a_site_put_aside_when_the_power_went_is_put_back(tmp_path: Path) -> None:
    write(tmp_path / ".retired" / "site" / "old.html", "old")

    put_back_retired(tmp_path)

    assert sorted(path.name for path in tmp_path.rglob("*")) == ["old.html", "site"]


def test_a_file_that_cannot_be_read_is_named_and_not_the_folder(tmp_path: Path) -> None:
    gone = tmp_path / "photo.jpg"

    with (
        pytest.raises(OutputFolderError, match=r"photo\.jpg cannot be read: No such file"),
        staging_folder(tmp_path / "build"),
    ):
        gone.read_bytes()


def test_a_folder_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    write(tmp_path / "taken", "a file, not a folder")

    with (
        pytest.raises(OutputFolderError, match="taken cannot be written"),
        staging_folder(tmp_path / "taken"),
    ):
        pass
