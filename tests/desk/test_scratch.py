"""Scratch folders: nothing is left of work that ended, however it ended."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from trialpress.desk.scratch import scratch_folder

KILLED = """
import os, signal, sys
from pathlib import Path
from trialpress.desk.scratch import scratch_folder
with scratch_folder(Path(sys.argv[1]), "work") as folder:
    (folder / "copy").write_text("raw rows")
    os.kill(os.getpid(), signal.SIGKILL)
"""


def names_in(folder: Path) -> list[str]:
    return sorted(path.name.partition("-")[0] for path in folder.iterdir())


def test_a_scratch_folder_is_gone_afterwards(tmp_path: Path) -> None:
    with scratch_folder(tmp_path, "work") as folder:
        (folder / "copy").write_text("raw rows", "utf-8")

    assert names_in(tmp_path) == [".scratch.lock"]


def test_what_a_kill_leaves_is_removed_when_the_next_work_begins(tmp_path: Path) -> None:
    subprocess.run([sys.executable, "-c", KILLED, str(tmp_path)], check=False)
    left = names_in(tmp_path)

    with scratch_folder(tmp_path, "work") as folder:
        assert [path.name for path in folder.iterdir()] == [".scratch.lock"]

    assert left == [".scratch.lock", ".work"]
    assert names_in(tmp_path) == [".scratch.lock"]


def test_work_that_goes_on_is_left_alone(tmp_path: Path) -> None:
    with scratch_folder(tmp_path, "work") as one, scratch_folder(tmp_path, "work") as other:
        assert one != other
        assert one.is_dir()
