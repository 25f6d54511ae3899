"""A bench of each format there ever was is kept as it was written, and still says the same.

``tests/folders/format-*`` are never changed: a format that has to change is a new folder beside
them. Their values are worked by hand from the readings.
"""

from __future__ import annotations

import csv
import hashlib
from pathlib import Path

import pytest

from trialpress.bench import Bench
from trialpress.desk.measured import read_state
from trialpress.intake.settings import FORMAT

FOLDERS = sorted((Path(__file__).parents[1] / "folders").glob("format-*"))


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_a_bench_of_a_released_format_is_read_to_the_same_values(folder: Path) -> None:
    with (folder / "expected.csv").open(encoding="utf-8", newline="") as stream:
        expected = {row["run"]: float(row["value"]) for row in csv.DictReader(stream)}

    state = read_state(Bench(folder))

    assert state.findings == ()
    values = {run.run: run.value for run in state.runs.values()}
    assert values == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_a_kept_bench_is_as_it_was_written(folder: Path) -> None:
    lines = (folder / "SHA256SUMS").read_text("utf-8").splitlines()
    listed = {name: digest for digest, name in (line.split("  ", 1) for line in lines)}

    found = {
        file.relative_to(folder).as_posix(): hashlib.sha256(file.read_bytes()).hexdigest()
        for file in folder.rglob("*")
        if file.is_file() and file.name != "SHA256SUMS"
    }

    assert found == listed


def test_every_format_up_to_now_has_its_bench() -> None:
    assert [folder.name for folder in FOLDERS] == [
        f"format-{number}" for number in range(1, FORMAT + 1)
    ]
