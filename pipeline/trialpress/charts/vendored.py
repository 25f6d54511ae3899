"""The chart runtime that a site carries: proof that it is the one on record.

In:  ``static/vendor/`` of the site's templates, with ``RECORD.json``.
Out: the files a site publishes from it, or an error that names the file that differs.

Short: what others wrote is checked apart from what draws with it.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from trialpress.errors import OutsideWorldError

RECORD = "RECORD.json"


class VendoredFileError(OutsideWorldError):
    """A vendored file is missing or is not the one on record."""


def check_vendored(folder: Path) -> tuple[Path, ...]:
    """Compare the vendored files with their record, byte for byte.

    Parameters
    ----------
    folder : Path
        The vendor folder; sources and building notes in it are not published.

    Returns
    -------
    tuple of Path
        What a site publishes from the folder: the files on record and the record itself.

    Raises
    ------
    VendoredFileError
        If the record or a file on it is missing, or a file has other bytes.
    """
    record = folder / RECORD
    if not record.is_file():
        raise VendoredFileError(f"{record}: the record of vendored files is missing. Restore it.")
    entries = json.loads(record.read_text(encoding="utf-8"))["files"]
    for entry in entries:
        _compare(folder / entry["name"], entry["sha256"])
    return (*(folder / entry["name"] for entry in entries), record)


def _compare(file: Path, expected: str) -> None:
    if not file.is_file():
        raise VendoredFileError(f"{file}: on record, but missing. Restore it or build it again.")
    actual = hashlib.sha256(file.read_bytes()).hexdigest()
    if actual != expected:
        raise VendoredFileError(
            f"{file}: its SHA-256 is {actual}, on record is {expected}. "
            "Restore it, or build it again as BUILDING.md says."
        )
