"""Outputs swapped in whole: what was there stays until what is new is complete.

In:  a folder or file that was written beside the old one.
Out: the new one in the old one's place.
"""

from __future__ import annotations

import ctypes
import errno
import os
import re
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from trialpress.errors import OutsideWorldError
from trialpress.lock import locked_file

PATIENCE_S = 120.0  # another build may be at work, and is done by then
LOCK = ".build.lock"
STAGING = ".staging"
RETIRED = ".retired"
LINKED = ".linked"
_ERRNO = re.compile(r"\[Errno ([0-9]+)\]")
_HERE = -100  # AT_FDCWD: paths are taken as they are
_EXCHANGE = 2  # RENAME_EXCHANGE


class OutputFolderError(OutsideWorldError):
    """The output folder cannot be written, or something that goes into it cannot be read."""

    def __init__(self, folder: Path, reason: OSError) -> None:
        first = _first_of(reason)
        why, elsewhere = first.strerror or first, _elsewhere(first, folder)
        if elsewhere is None:
            message = (
                f"{folder} cannot be written: {why}. "
                f"{_what_to_do(first)}, or choose another folder with --out."
            )
        else:
            message = (
                f"{elsewhere} cannot be read: {why}. Nothing was replaced. "
                "Look whether it is still there and may be opened; then build again."
            )
        super().__init__(message)


def _first_of(reason: OSError) -> OSError:
    """The first failure of many: copying a folder goes on, and tells all of them as one text."""
    number = _ERRNO.search(str(reason)) if isinstance(reason, shutil.Error) else None
    return OSError(int(number[1]), os.strerror(int(number[1]))) if number else reason


def _elsewhere(reason: OSError, folder: Path) -> Path | None:
    """The file that the failure is of, where it does not lie in the folder written to."""
    if not isinstance(reason.filename, str | bytes):
        return None
    file = Path(os.fsdecode(reason.filename))
    return None if file.absolute().is_relative_to(folder.absolute()) else file


def _what_to_do(reason: OSError) -> str:
    is_full = reason.errno in {errno.ENOSPC, errno.EDQUOT}
    return "Free some space" if is_full else "Mend its permissions, end what else writes there"


@contextmanager
def staging_folder(out: Path) -> Iterator[Path]:
    """A fresh folder inside ``out`` to write into; gone afterwards, whatever happens.

    Raises
    ------
    InUseError
        If another program builds into ``out`` and is not done in time.
    OutputFolderError
        If the disk refuses, here or while the caller writes.
    """
    staging = out / STAGING
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputFolderError(out, error) from error
    with locked_file(out, out / LOCK, PATIENCE_S):
        try:
            put_back_retired(out)
            _clear(staging)
            staging.mkdir()
            yield staging
        except OSError as error:
            raise OutputFolderError(out, error) from error
        finally:
            shutil.rmtree(staging, ignore_errors=True)


@contextmanager
def outputs_held(out: Path) -> Iterator[None]:
    """Keep what was built as it is while it is handed on; where nothing was, there is no lock.

    Raises
    ------
    InUseError
        If another program builds into ``out``, or hands it on, and is not done in time.
    """
    if not out.is_dir():
        yield
        return
    with locked_file(out, out / LOCK, PATIENCE_S):
        yield


def swap_in(staging: Path, out: Path, names: list[str]) -> None:
    """Put each of ``names`` from ``staging`` in its place in ``out``.

    The last name is a file that vouches for the others: it is not there while they change, so that
    no old report is taken for that of a new site. Everything else is replaced in one step, where
    the system can do that with folders: whoever reads meanwhile finds the old or the new.
    """
    *others, report = names
    if others:
        (out / report).unlink(missing_ok=True)
    for name in others:
        keep_unchanged(staging / name, out / name)
        _put(staging / name, out / name, out / RETIRED / name)
    (staging / report).replace(out / report)
    shutil.rmtree(out / RETIRED, ignore_errors=True)


def keep_unchanged(new: Path, old: Path) -> None:
    """Take every file that did not change from the old folder, where the disk knows links.

    So it keeps its time, whoever copies the folder elsewhere sees what changed, and the disk holds
    it once. The old folder is removed afterwards, so that no file is left with two names.
    """
    if not new.is_dir() or old.is_symlink():
        return
    for path in new.rglob("*"):
        place = old / path.relative_to(new)
        if not path.is_file() or place.is_symlink() or not _is_same(path, place):
            continue
        linked = path.with_name(LINKED)
        try:
            linked.hardlink_to(place)
            linked.replace(path)
        except OSError:
            linked.unlink(missing_ok=True)


def _is_same(path: Path, place: Path) -> bool:
    try:
        is_as_large = path.stat().st_size == place.stat().st_size
        return is_as_large and path.read_bytes() == place.read_bytes()
    except OSError:
        return False


def _clear(staging: Path) -> None:
    """Remove what a build that was cut off left; a link is removed, not what it leads to."""
    if staging.is_symlink() or staging.is_file():
        staging.unlink()
    shutil.rmtree(staging, ignore_errors=True)


def _put(new: Path, place: Path, retired: Path) -> None:
    """Put something in its place; what was there goes where the new came from, or aside."""
    if not place.is_dir():
        new.replace(place)
    elif not exchange(new, place):
        shutil.rmtree(retired, ignore_errors=True)
        retired.parent.mkdir(parents=True, exist_ok=True)
        place.rename(retired)
        new.rename(place)


def exchange(one: Path, other: Path) -> bool:
    """Let two things change names in one step; False where the system or the disk cannot.

    Notes
    -----
    Source: renameat2(2), RENAME_EXCHANGE; Linux only. Elsewhere ``put_back_retired`` mends what a
    power cut leaves between two steps.
    """
    if sys.platform != "linux":
        return False
    rename = getattr(ctypes.CDLL(None), "renameat2", None)
    if rename is None:
        return False
    paths = os.fsencode(one.absolute()), os.fsencode(other.absolute())
    return int(rename(_HERE, paths[0], _HERE, paths[1], _EXCHANGE)) == 0


def put_back_retired(out: Path) -> None:
    """Give back the place of anything that was put aside and never replaced."""
    retired = out / RETIRED
    if not retired.is_dir():
        return
    for old in sorted(retired.iterdir()):
        place = out / old.name
        if not place.exists():
            old.rename(place)
    shutil.rmtree(retired, ignore_errors=True)
