"""A lock for a bench: one program at a time changes what is typed.

In:  a bench.
Out: nobody else who asks changes it meanwhile. The system gives the lock back when a program ends,
     however it ends; an editor asks nobody, so a file is compared before it is replaced as well.
"""

from __future__ import annotations

import errno
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path

from trialpress.bench import Bench
from trialpress.errors import OutsideWorldError

PATIENCE_S = 20.0
_AGAIN_S = 0.01
_HELD: ContextVar[frozenset[Path]] = ContextVar("held", default=frozenset())
_LOCKED_BYTE = 1 << 20  # behind what is written there: not every system lets a locked byte be read


class InUseError(OutsideWorldError):
    """Another program has been at work in a folder for too long."""

    def __init__(self, folder: Path, holder: str) -> None:
        super().__init__(
            f"{folder} is being changed by another program{holder}. Nothing was written. Wait "
            "until that one is done, or end it, then do the same again."
        )


class NoLockError(OutsideWorldError):
    """The disk gives no lock."""

    def __init__(self, file: Path, reason: OSError) -> None:
        is_full = reason.errno in {errno.ENOSPC, errno.EDQUOT}
        remedy = (
            "Free some space, then do the same again"
            if is_full
            else "Mend its permissions, or keep the bench on a disk that knows locks"
        )
        super().__init__(
            f"{file} cannot be locked: {reason.strerror or reason}. Nothing was written. {remedy}."
        )


@contextmanager
def locked(bench: Bench, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Keep others who lock the bench from changing it; whoever holds the lock may ask again.

    Parameters
    ----------
    bench : Bench
        The bench.
    patience_s : float
        How long to wait for another program, in seconds.

    Raises
    ------
    InUseError
        If another one still holds the lock then.
    NoLockError
        If the disk gives none.
    """
    with locked_file(bench.root, bench.root / "build" / ".bench.lock", patience_s):
        yield


@contextmanager
def locked_file(folder: Path, file: Path, patience_s: float) -> Iterator[None]:
    """Hold the lock of a folder, by a file that stays there; as ``locked``."""
    file = file.parent.resolve() / file.name
    if file in _HELD.get():
        yield
        return
    descriptor = _opened(file)
    try:
        _wait(folder, file, descriptor, patience_s)
        held = _HELD.set(_HELD.get() | {file})
        try:
            yield
        finally:
            _HELD.reset(held)
            os.ftruncate(descriptor, 0)
    finally:
        os.close(descriptor)


def _opened(file: Path) -> int:
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0)
        return os.open(file, flags, 0o666)
    except OSError as error:
        raise NoLockError(file, error) from error


def _wait(folder: Path, file: Path, descriptor: int, patience_s: float) -> None:
    until = time.monotonic() + patience_s
    try:
        while not _take(descriptor):
            if time.monotonic() > until:
                process = _said_in(descriptor)
                raise InUseError(folder, f" (process {process})" if process else "")
            time.sleep(_AGAIN_S)
        os.ftruncate(descriptor, 0)
        os.lseek(descriptor, 0, os.SEEK_SET)
        os.write(descriptor, str(os.getpid()).encode())
    except OSError as error:
        raise NoLockError(file, error) from error


def _said_in(descriptor: int) -> str:
    os.lseek(descriptor, 0, os.SEEK_SET)
    text = os.read(descriptor, 20).decode("ascii", "replace")
    return text if text.isdigit() else ""


def _take(descriptor: int) -> bool:
    """Take the lock if it is free."""
    try:
        if sys.platform == "win32":
            import msvcrt  # noqa: PLC0415  there only

            os.lseek(descriptor, _LOCKED_BYTE, os.SEEK_SET)
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl  # noqa: PLC0415  there only

            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True
