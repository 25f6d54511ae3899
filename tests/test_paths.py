"""What is written or removed by a name from data stays in its folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from trialpress.paths import OutsideFolderError, place_below, remove_below, write_below

ASTRAY = ["../x", "a/../../x", "/x", "~/x", "C:/x", "..\\x", "https://x.example/", "", ".", "a\0b"]


@pytest.mark.parametrize("name", ASTRAY)
def test_a_name_that_leads_out_is_refused(name: str, tmp_path: Path) -> None:
    with pytest.raises(OutsideFolderError):
        place_below(tmp_path / "root", name)


def test_a_link_on_the_way_out_is_refused(tmp_path: Path) -> None:
    root, outside = tmp_path / "root", tmp_path / "outside"
    root.mkdir()
    outside.mkdir()
    (outside / "kept.txt").write_text("mine", encoding="utf-8")
    (root / "link").symlink_to(outside)
    (root / "file.html").symlink_to(outside / "kept.txt")

    for name in ("link/kept.txt", "file.html"):
        with pytest.raises(OutsideFolderError):
            write_below(root, name, b"theirs")
        with pytest.raises(OutsideFolderError):
            remove_below(root, name)

    assert (outside / "kept.txt").read_text("utf-8") == "mine"


def test_what_is_removed_takes_empty_folders_with_it_and_no_others(tmp_path: Path) -> None:
    for name in ("a/b/c.txt", "a/d.txt"):
        write_below(tmp_path, name, b"x")

    remove_below(tmp_path, "a/b/c.txt")

    assert sorted(path.name for path in tmp_path.rglob("*")) == ["a", "d.txt"]
