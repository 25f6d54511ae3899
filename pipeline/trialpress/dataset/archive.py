"""One zip with the whole dataset, the same bytes whenever and wherever it is made.

In:  a written dataset folder.
Out: the archive in that folder.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

ARCHIVE = "trialpress-dataset.zip"
TOP_FOLDER = "trialpress-dataset"
FIRST_ZIP_DATE = (1980, 1, 1, 0, 0, 0)
READABLE_FILE = 0o100644 << 16
UNIX = 3


def write_archive(folder: Path, names: Iterable[str]) -> None:
    """Pack the files ``names`` of ``folder`` into its archive, in that order."""
    with ZipFile(folder / ARCHIVE, "w") as archive:
        for name in names:
            entry = ZipInfo(f"{TOP_FOLDER}/{name}", FIRST_ZIP_DATE)
            entry.compress_type = ZIP_DEFLATED
            entry.external_attr = READABLE_FILE
            entry.create_system = UNIX
            archive.writestr(entry, (folder / name).read_bytes())
