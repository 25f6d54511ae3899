"""A full disk: what was there stays, and a sentence says what to do.

In:  a limit of the system on how large a file may grow; for a program that is a disk that is full.
"""

from __future__ import annotations

import errno
import resource
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from trialpress.desk.append import append_rows
from trialpress.desk.replacing import NotKeptError
from trialpress.lock import NoLockError
from trialpress.swap import OutputFolderError, staging_folder, swap_in

ROOM = 100


@contextmanager
def little_room() -> Iterator[None]:
    """No file grows beyond ``ROOM`` bytes."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (ROOM, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, handler)


def test_a_row_that_has_no_room_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    file = tmp_path / "values.csv"
    file.write_text("run,note\na,1\n", "utf-8")

    with little_room(), pytest.raises(NotKeptError, match="It is as it was"):
        append_rows(file, ("run", "note"), [{"run": "b", "note": "x" * ROOM}])

    assert file.read_text("utf-8") == "run,note\na,1\n"
    assert [path.name for path in tmp_path.iterdir()] == ["values.csv"]


def test_outputs_that_have_no_room_leave_the_last_ones(tmp_path: Path) -> None:
    site = tmp_path / "site" / "index.html"
    site.parent.mkdir()
    site.write_text("old", "utf-8")

    def build() -> None:
        with staging_folder(tmp_path) as staging:
            (staging / "site").mkdir()
            (staging / "site" / "index.html").write_text("x" * 2 * ROOM, "utf-8")
            swap_in(staging, tmp_path, ["site", "report.json"])

    with little_room(), pytest.raises(OutputFolderError):
        build()

    assert site.read_text("utf-8") == "old"
    assert not (tmp_path / ".staging").exists()


@pytest.mark.parametrize(
    ("number", "remedy"),
    [(errno.ENOSPC, "Free some space"), (errno.EACCES, "Mend its permissions")],
)
def test_a_lock_that_cannot_be_had_says_what_to_do(number: int, remedy: str) -> None:
    assert remedy in str(NoLockError(Path("bench"), OSError(number, "no")))
