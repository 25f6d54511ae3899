"""An archive from anywhere, opened so that it can do no harm.

In:  a zip of one folder, from a bench or from a stranger.
Out: its files by name; refusals in plain words where a name leads out of its folder, an entry is a
     link, two share a name or bytes, or what it would unpack to is absurd. Nothing is unpacked
     before all names and sizes are looked at, and no more bytes than an entry has announced.
"""

from __future__ import annotations

import os
import stat
import zlib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from io import BufferedReader
from pathlib import Path, PurePosixPath, PureWindowsPath
from types import MappingProxyType
from typing import cast
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from trialpress.errors import FaultyDataError, OutsideWorldError
from trialpress.ordinary_file import open_ordinary
from trialpress.paths import place_below

MOST_FILES = 5_000
MOST_BYTES = 4 << 30  # of all files together, unpacked
ALWAYS_BYTES = 64 << 20  # below this no archive is a bomb, however well it is packed
MOST_TIMES = 250  # unpacked against packed; tables of text reach 20
LARGEST_TEXT = 64 << 20  # of a file that is read whole
MOST_INDEX = 8 << 20  # bytes of the list of files, which is read before anything can be looked at
_PIECE = 1 << 20
_ENCRYPTED = 0x1


class UnsafeArchiveError(FaultyDataError):
    """An archive is damaged, or made to do harm."""

    def __init__(self, file: Path, reason: str) -> None:
        super().__init__(
            f"{file} is not opened: {reason}. An edition is a zip of one folder as Trialpress "
            "writes it; download it again from where it was published."
        )


class NotReadError(OutsideWorldError):
    """The disk gives no archive."""

    def __init__(self, file: Path, reason: OSError) -> None:
        super().__init__(f"{file} cannot be read: {reason.strerror or reason}.")


class _ShortReads(BufferedReader):
    """A file that is read in short pieces, however much it says that there is of anything."""

    def read(self, size: int | None = -1, /) -> bytes:
        if size is not None and size > MOST_INDEX:
            message = f"{size:,} bytes at once"
            raise BadZipFile(message)
        return super().read(size)


@dataclass(frozen=True)
class OpenArchive:
    """An archive whose names and sizes were looked at; names are below its one top folder."""

    file: Path
    archive: ZipFile
    entries: Mapping[str, ZipInfo]

    def read(self, name: str, most: int = LARGEST_TEXT) -> bytes:
        """The bytes of a file that is small enough to be read whole.

        Raises
        ------
        UnsafeArchiveError
            If there is none of that name, it is too large, or its bytes are damaged.
        """
        entry = self.entries.get(name)
        if entry is None:
            raise UnsafeArchiveError(self.file, f"it has no file {name}")
        if entry.file_size > most:
            raise UnsafeArchiveError(self.file, f"{name} has {entry.file_size:,} bytes")
        return b"".join(self._pieces(entry))

    def unpack(self, folder: Path) -> None:
        """Write every file below ``folder``."""
        for name, entry in self.entries.items():
            place = place_below(folder, name)
            place.parent.mkdir(parents=True, exist_ok=True)
            with place.open("wb") as target:
                for piece in self._pieces(entry):
                    target.write(piece)

    def _pieces(self, entry: ZipInfo) -> Iterator[bytes]:
        left = entry.file_size
        try:
            with self.archive.open(entry) as source:
                while piece := source.read(_PIECE):
                    left -= len(piece)
                    if left < 0:
                        break
                    yield piece
        except (BadZipFile, EOFError, zlib.error, NotImplementedError, RuntimeError):
            raise UnsafeArchiveError(self.file, f"{entry.filename} is damaged") from None
        if left:
            reason = f"{entry.filename} has another size than it says"
            raise UnsafeArchiveError(self.file, reason)


@contextmanager
def opened_archive(file: Path, within: Path | None = None) -> Iterator[OpenArchive]:
    """An archive opened, after a look at every name and size in it.

    Parameters
    ----------
    file : Path
        The archive.
    within : Path, optional
        The folder that it has to lie in, wherever links lead.

    Raises
    ------
    UnsafeArchiveError
        If it is no zip, damaged or made to do harm.
    NotReadError
        If the disk refuses, or it is no ordinary file.
    """
    with _opened(file, within) as opened:
        try:
            archive = ZipFile(opened)
        except OSError as error:
            raise NotReadError(file, error) from error
        except (BadZipFile, ValueError, NotImplementedError):
            raise UnsafeArchiveError(file, "it is no zip file, or not all of one") from None
        fault = _fault_of(archive, os.fstat(opened.fileno()).st_size)
        if fault:
            raise UnsafeArchiveError(file, fault)
        entries = [entry for entry in archive.infolist() if not entry.is_dir()]
        names = {_below_top(entry.filename): entry for entry in entries}
        yield OpenArchive(file, archive, MappingProxyType(names))


def _opened(file: Path, within: Path | None) -> _ShortReads:
    try:
        plain = open_ordinary(file, within, MOST_BYTES)
    except OSError as error:
        raise NotReadError(file, error) from error
    return _ShortReads(cast("BufferedReader", plain).detach())


def _fault_of(archive: ZipFile, size_bytes: int) -> str | None:
    """What makes an archive unsafe, in a few words."""
    entries = archive.infolist()
    if len(entries) > MOST_FILES:
        return f"it has {len(entries):,} entries, and no edition has more than {MOST_FILES:,}"
    faults = (fault for entry in entries if (fault := _entry_fault(entry)))
    return next(faults, None) or _names_fault(entries) or _sizes_fault(entries, size_bytes)


def _entry_fault(entry: ZipInfo) -> str | None:
    name = entry.orig_filename
    path, mode = PurePosixPath(name), entry.external_attr >> 16
    is_rooted = name.startswith(("/", "~")) or bool(PureWindowsPath(name).drive)
    if not name.isprintable() or "\\" in name or is_rooted or ".." in path.parts:
        return f"the entry {name!r} would lead out of its folder"
    if str(path) != name.rstrip("/") or "." in path.parts:
        return f"the entry {name!r} has a name that is written oddly"
    if stat.S_IFMT(mode) not in {0, stat.S_IFREG, stat.S_IFDIR}:
        return f"the entry {name!r} is a link or no ordinary file"
    if entry.flag_bits & _ENCRYPTED or entry.compress_type not in {ZIP_STORED, ZIP_DEFLATED}:
        return f"the entry {name!r} is encrypted, or packed in a way that editions are not"
    return None


def _names_fault(entries: Sequence[ZipInfo]) -> str | None:
    files = [entry.filename for entry in entries if not entry.is_dir()]
    if len({name.casefold() for name in files}) < len(files):
        return "two of its entries have one name"
    tops = {name.partition("/")[0] for name in files}
    if len(tops) != 1 or any("/" not in name for name in files):
        return "it is not one folder with files in it"
    return None


def _sizes_fault(entries: Sequence[ZipInfo], size_bytes: int) -> str | None:
    total = sum(entry.file_size for entry in entries)
    if total > MOST_BYTES or total > max(ALWAYS_BYTES, MOST_TIMES * size_bytes):
        return f"its {size_bytes:,} bytes would unpack to {total:,}, which no dataset does"
    ends = 0
    for entry in sorted(entries, key=lambda entry: entry.header_offset):
        if entry.header_offset < ends:
            return f"the entry {entry.filename!r} shares bytes with another"
        ends = entry.header_offset + entry.compress_size
    return "its entries are longer than the file" if ends > size_bytes else None


def _below_top(name: str) -> str:
    return name.partition("/")[2]
