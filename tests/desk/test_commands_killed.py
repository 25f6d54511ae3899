"""Commands that write typed rows, killed at random moments: the bench stays whole, again mends all.

In:  the small bench twice, in one of which the command runs to its end.
Out: after each kill a bench without faults; after the command typed again the very same files.
"""

from __future__ import annotations

import shutil
import time
from pathlib import Path

import pytest

from desk.kills import MOMENTS, USUAL_MOMENTS, Commands, moments
from flow.benches import copy_of_small_bench, files_below
from trialpress.bench import Bench
from trialpress.intake import read_bench

MAY = str(1_935_878_400)  # 2031-05-07
OLD_RUNS = """Date;Machine;Test;Dose;Before;After
04.03.2031 19:00;Stick One;Dust on a rug;20,1;260,1;278,3
04.03.2031 19:20;Stick One;Dust on a rug;20,0;260,0;278,0
05.03.2031 19:00;Stick One;Dust on a rug;20,0;260,2;278,1
"""
MAPPING = """[columns]
at = "Date"
setup = "Machine"
protocol = "Test"
dose_g = "Dose"
before_g = "Before"
after_g = "After"
[fixed]
version = "1"
dose_by = "reading"
[values.setup]
"Stick One" = "one-stock"
[values.protocol]
"Dust on a rug" = "pickup"
"""
COMMANDS = {
    "correct": ("correct", "values", "porch-11", "value", "71.5", "--why", "Read from the film."),
    "adopt": ("adopt", "old.csv", "--map", "old.toml", "--write"),
    "tidy": ("tidy", "--yes"),
    "plan": ("plan", "--sheet", "2031-05-08-hall", "--runs", "4"),
    "add": ("add", "makers", "maker=maker-three", "name=Maker Three"),
    "edition": ("edition", "1.0.0"),
}
TIMES = max(MOMENTS // 4, 1)
"""How often each is killed: four of them share what others have for themselves."""
IS_AUDIT = MOMENTS > USUAL_MOMENTS
KILLED = tuple(COMMANDS) if IS_AUDIT else ("adopt", "tidy", "add")
"""The dear ones, which work out all results, are killed by `make audit` alone."""


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A bench with a spreadsheet to adopt, and a file a spreadsheet saved."""
    bench = copy_of_small_bench(tmp_path / "bench")
    (bench / "old.csv").write_text(OLD_RUNS, encoding="utf-8")
    (bench / "old.toml").write_text(MAPPING, encoding="utf-8")
    values = bench / "data/days/2031-03-09-porch/values.csv"
    values.write_text(values.read_text("utf-8").replace(",", ";"), encoding="utf-8")
    return bench


@pytest.mark.parametrize("name", KILLED)
def test_a_command_killed_at_any_moment_leaves_a_sound_bench_and_can_be_typed_again(
    name: str, bench: Path, tmp_path: Path, commands: Commands
) -> None:
    command = [*COMMANDS[name], "--quiet"]
    twin = shutil.copytree(bench, tmp_path / "twin")
    began = time.monotonic()
    assert commands.run(*command, folder=twin, SOURCE_DATE_EPOCH=MAY) == 0
    took_s, done = time.monotonic() - began, files_below(twin / "data")

    for i, after_s in zip(range(TIMES), moments(took_s), strict=False):
        killed = shutil.copytree(bench, tmp_path / f"killed-{i}")
        commands.kill(*command, folder=killed, after_s=after_s, SOURCE_DATE_EPOCH=MAY)
        read_bench(Bench(killed), None)
        if files_below(killed / "data") != done:
            assert commands.run(*command, folder=killed, SOURCE_DATE_EPOCH=MAY) == 0

        assert files_below(killed / "data") == done
        shutil.rmtree(killed)
