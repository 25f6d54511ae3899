"""The bench that a command is given: its own folders, and no others."""

from __future__ import annotations

from pathlib import Path

import pytest

from flow.benches import copy_of_small_bench
from trialpress.cli.application import WRITTEN_INTO, LinkedOutError, bench_at
from typed import trialpress


@pytest.mark.parametrize("name", [*WRITTEN_INTO, "data/days/2031-05-01-away"])
def test_no_command_works_in_a_folder_that_a_link_takes_elsewhere(
    name: str, tmp_path: Path
) -> None:
    root = copy_of_small_bench(tmp_path / "bench")
    place, away = root / name, tmp_path / "away"
    if place.exists():
        place.rename(away)
    else:
        away.mkdir()
    place.symlink_to(away)

    with pytest.raises(LinkedOutError, match="leads out of the bench"):
        bench_at(root)


def test_a_folder_that_is_linked_within_the_bench_is_as_good(tmp_path: Path) -> None:
    root = copy_of_small_bench(tmp_path / "bench")
    (root / "outputs").mkdir()
    (root / "build").symlink_to("outputs")

    assert bench_at(root).root == root


@pytest.mark.parametrize(
    "command",
    [
        ("new", "{name}"),
        ("check", "--bench", "{name}"),
        ("adopt", "{name}", "--start"),
        ("plan", "--sheet", "2031-05-08-{name}"),
    ],
)
@pytest.mark.parametrize("name", ["a" * 300, "a/" * 2500])
def test_a_name_that_no_file_can_have_is_wrong_use(
    command: tuple[str, ...], name: str, tmp_path: Path
) -> None:
    bench = copy_of_small_bench(tmp_path / "bench")

    said = trialpress(*(word.format(name=name) for word in command), folder=bench)

    assert said.returncode == 2
    assert "is longer than the name of a file may be" in said.stderr


@pytest.mark.parametrize("name", [".", ""])
def test_a_folder_is_no_spreadsheet(name: str, tmp_path: Path) -> None:
    said = trialpress("adopt", name, "--start", folder=copy_of_small_bench(tmp_path / "bench"))

    assert said.returncode == 3
    assert "cannot be opened" in said.stderr
