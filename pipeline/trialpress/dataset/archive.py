"""One zip with the whole dataset, the same bytes whenever and wherever it is made.

In:  a written dataset folder.
Out: the bytes of an archive; the sums of files as ``sha256sum --check`` reads them.

Short: datasets, editions and their verification pack and sum by it, to the same bytes.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterable, Mapping
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

ARCHIVE = "trialpress-dataset.zip"
TOP_FOLDER = "trialpress-dataset"
SUMS_FILE = "SHA256SUMS"
FIRST_ZIP_DATE = (1980, 1, 1, 0, 0, 0)
READABLE_FILE = 0o100644 << 16
UNIX = 3
SMALLEST = 9  # how hard to press


def write_archive(folder: Path, names: Iterable[str]) -> None:
    """Pack the files ``names`` of ``folder`` into its archive, in that order."""
    parts = {f"{TOP_FOLDER}/{name}": (folder / name).read_bytes() for name in names}
    (folder / ARCHIVE).write_bytes(packed(parts))


def packed(parts: Mapping[str, bytes]) -> bytes:
    """A zip of named parts, in their order and without a time."""
    with io.BytesIO() as stream:
        with ZipFile(stream, "w", ZIP_DEFLATED, compresslevel=SMALLEST) as archive:
            for name, content in parts.items():
                entry = ZipInfo(name, FIRST_ZIP_DATE)
                entry.compress_type = ZIP_DEFLATED
                entry.external_attr = READABLE_FILE
                entry.create_system = UNIX
                archive.writestr(entry, content, compresslevel=SMALLEST)
        return stream.getvalue()


def sums_text(folder: Path, names: Iterable[str]) -> str:
    """The text of ``SHA256SUMS`` for files of a folder."""
    return "".join(f"{sum_of(folder / name)}  {name}\n" for name in names)


def sum_of(file: Path) -> str:
    """SHA-256 of a file, in hexadecimal digits."""
    return hashlib.sha256(file.read_bytes()).hexdigest()
