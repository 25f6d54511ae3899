"""A file put in the place of another so that a power cut leaves one of the two, whole.

In:  a place, and the bytes that are to stand there.
Out: the file, written beside the old one, flushed to the disk and then put in its place.
"""

from __future__ import annotations

import os
import re
import secrets
import stat
from collections.abc import Callable, Collection
from pathlib import Path

from trialpress.errors import OutsideWorldError

_NEW = re.compile(r"\.(.+)\.[0-9a-f]{16}\.new")


class NotKeptError(OutsideWorldError):
    """The disk refuses to keep a file."""

    def __init__(self, file: Path, reason: OSError) -> None:
        super().__init__(
            f"{file} cannot be written: {reason.strerror or reason}. It is as it was. "
            "Free some space or mend its permissions, then do the same again."
        )


def replace_durably(file: Path, data: bytes) -> None:
    """Put a whole file in the place of another, or of none, whatever that one holds.

    Raises
    ------
    NotKeptError
        If the disk refuses; the file is as it was.
    """
    try:
        _replace(file.resolve(), data, lambda: True)
    except OSError as error:
        raise NotKeptError(file, error) from error


def replace_unchanged(file: Path, before: bytes | None, data: bytes) -> bool:
    """Put a whole file in the place of what was read from it, if that is what it still holds.

    The caller holds the bench's lock: a new file for this place that is there already was left by a
    power cut, and is removed.

    Parameters
    ----------
    file : Path
        The file.
    before : bytes or None
        What it held when it was read; None where there was none.
    data : bytes
        What it is to hold.

    Returns
    -------
    bool
        False where somebody, an editor say, saved something else meanwhile: that stays.

    Raises
    ------
    NotKeptError
        If the disk refuses; the file is as it was.
    """
    place = file.resolve()
    try:
        for left in remains_in(place.parent, (place.name,)):
            left.unlink()
        return _replace(place, data, lambda: _bytes_of(place) == before)
    except OSError as error:
        raise NotKeptError(file, error) from error


def remains_in(folder: Path, names: Collection[str]) -> list[Path]:
    """What is left in a folder of new files, of the names given, that a power cut kept out."""
    if not folder.is_dir():
        return []
    found = ((entry, _NEW.fullmatch(entry.name)) for entry in folder.iterdir())
    return sorted(entry for entry, match in found if match and match[1] in names)


def flush_folder(folder: Path) -> None:
    """Have the disk note what was put into a folder or renamed in it."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _bytes_of(file: Path) -> bytes | None:
    try:
        return file.read_bytes()
    except FileNotFoundError:
        return None


def _replace(file: Path, data: bytes, is_wanted: Callable[[], bool]) -> bool:
    """Write beside a file, flush, and take its place if that is wanted still."""
    _make_folder(file.parent)
    new, descriptor = _new_beside(file)
    try:
        with os.fdopen(descriptor, "wb") as opened:
            if file.exists():
                os.fchmod(opened.fileno(), stat.S_IMODE(file.stat().st_mode))
            opened.write(data)
            opened.flush()
            os.fsync(opened.fileno())
        if not is_wanted():
            return False
        new.replace(file)
    finally:
        new.unlink(missing_ok=True)
    flush_folder(file.parent)
    return True


def _new_beside(file: Path) -> tuple[Path, int]:
    """A file that nobody can have put there before; intake passes over its hidden name."""
    new = file.with_name(f".{file.name}.{secrets.token_hex(8)}.new")
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0)
    return new, os.open(new, flags | getattr(os, "O_BINARY", 0), 0o666)


def _make_folder(folder: Path) -> None:
    """Make a folder and those above it, each noted on the disk in the one that holds it."""
    if folder.is_dir():
        return
    _make_folder(folder.parent)
    folder.mkdir(exist_ok=True)
    flush_folder(folder.parent)
