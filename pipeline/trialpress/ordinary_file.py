"""Files that people put there or name, opened only where that can do no harm.

In:  a path, the folder that it has to lie in, and how many bytes are sensible.
Out: what the file holds. A pipe would wait for ever, a device never end, a link out of a bench
     would publish what it leads to: none of these is opened.
"""

from __future__ import annotations

import errno
import os
import stat
from enum import StrEnum
from pathlib import Path
from typing import BinaryIO

MOST_BYTES = 64 * 2**20
"""More than a year of typed rows, or a photo from any camera."""
_SHOWN_BYTES = 2**20
LEADS_OUT = "a link leads out of the bench folder"


class Oddity(StrEnum):
    """Why a file is not opened."""

    KIND = "kind"
    LINK = "link"
    SIZE = "size"


class OddFileError(OSError):
    """A file that is there and is not opened; an ``OSError``, as for any other that cannot be."""

    def __init__(self, file: Path, oddity: Oddity, reason: str) -> None:
        super().__init__(errno.EINVAL, reason, str(file))
        self.oddity = oddity


def read_ordinary(file: Path, within: Path | None = None, most: int = MOST_BYTES) -> bytes:
    """Read a whole file; as ``open_ordinary``."""
    with open_ordinary(file, within, most) as opened:
        data = opened.read(most + 1)  # it may grow while it is read
    if len(data) > most:
        raise _too_large(file, most)
    return data


def open_ordinary(file: Path, within: Path | None = None, most: int = MOST_BYTES) -> BinaryIO:
    """Open a regular file to read it.

    Parameters
    ----------
    file : Path
        The file; a link to one is followed.
    within : Path, optional
        The folder that it has to lie in, wherever links lead.
    most : int
        The greatest size, in bytes.

    Raises
    ------
    OddFileError
        If it is something else, larger, or lies elsewhere.
    OSError
        If it is not there, or not ours to read.
    """
    place = None if within is None else _place_in(file, within)
    # Opening a pipe waits for somebody to write into it, unless that is ruled out.
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    opened = os.fdopen(os.open(file, flags), "rb")
    found = os.fstat(opened.fileno())
    if place is not None and not os.path.samestat(found, place.stat(follow_symlinks=False)):
        opened.close()  # a link was put there just now
        raise OddFileError(file, Oddity.LINK, LEADS_OUT)
    if stat.S_ISREG(found.st_mode) and found.st_size <= most:
        return opened
    opened.close()
    if stat.S_ISREG(found.st_mode):
        raise _too_large(file, most)
    if stat.S_ISDIR(found.st_mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(file))
    raise OddFileError(file, Oddity.KIND, "it is no ordinary file")


def _place_in(file: Path, folder: Path) -> Path:
    """Where a file lies, with all links followed, if that is in a folder."""
    place = file.resolve()
    if not place.is_relative_to(folder.resolve()):
        raise OddFileError(file, Oddity.LINK, LEADS_OUT)
    return place


def _too_large(file: Path, most: int) -> OddFileError:
    return OddFileError(file, Oddity.SIZE, f"it has more than {most // _SHOWN_BYTES} MB")
