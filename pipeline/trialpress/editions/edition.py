"""What an edition says of itself, and which editions a bench has.

In:  an archive, or the folder ``data/editions`` of a bench and a date.
Out: ``Edition``; the editions made by that date, oldest first.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from trialpress.bench import Bench
from trialpress.editions.opening import OpenArchive, UnsafeArchiveError, opened_archive
from trialpress.editions.version import Version
from trialpress.errors import FaultyDataError, TrialpressError
from trialpress.paths import write_below

PACKAGE_FILE = "datapackage.json"
LATEST = "latest"
"""The folder, in that of the dataset, with the files of the newest edition."""
DATA_PAGE = "data.html"
"""The page of the site that describes the dataset."""


class MisnamedEditionError(FaultyDataError):
    """A file among the editions is not the one that its name says."""

    def __init__(self, file: Path, reason: str) -> None:
        super().__init__(
            f"{file}: {reason}. Editions are written by trialpress edition, and never renamed or "
            "changed. Put back the file as it was written, or take it away if it never was one."
        )


@dataclass(frozen=True)
class Edition:
    """One edition; ``package`` is its ``datapackage.json``, ``sum`` the SHA-256 of its zip."""

    version: Version
    as_of: date
    file: Path
    size_bytes: int
    sum: str
    package: Mapping[str, Any]

    @property
    def archive(self) -> str:
        """Its zip in the dataset folder; the address never changes."""
        return f"editions/{self.version}.zip"

    @property
    def program(self) -> str:
        """The version of the program that made it, and its fingerprint."""
        program = self.package["program"]
        return f"Trialpress {program['version']} ({program['fingerprint']})"


def edition_url(version: Version | str) -> str:
    """The page of one edition, relative to the site's root."""
    return f"editions/{version}/index.html"


def read_editions(bench: Bench, as_of: date) -> tuple[Edition, ...]:
    """The editions of a bench that were made by a date, oldest first.

    Raises
    ------
    UnsafeArchiveError
        If one of them is damaged.
    MisnamedEditionError
        If one is not what its name says.
    """
    files = sorted(bench.editions.glob("*.zip")) if bench.editions.is_dir() else []
    editions = [_named(file, bench.root) for file in files]
    return tuple(
        sorted(
            (edition for edition in editions if edition.as_of <= as_of),
            key=lambda edition: edition.version,
        )
    )


def shelve_editions(editions: Sequence[Edition], dataset: Path) -> None:
    """Copy editions, oldest first, into a dataset folder, and lay the newest out beside them."""
    for edition in editions:
        write_below(dataset, edition.archive, edition.file.read_bytes())
    for newest in editions[-1:]:
        with opened_archive(newest.file) as archive:
            archive.unpack(dataset / LATEST)


def _named(file: Path, root: Path) -> Edition:
    edition = read_edition(file, root)
    if str(edition.version) != file.stem:
        raise MisnamedEditionError(file, f"it holds the edition {edition.version}")
    return edition


def read_edition(file: Path, within: Path | None = None) -> Edition:
    """Read what the edition in a zip says of itself; as ``opened_archive``.

    Raises
    ------
    UnsafeArchiveError
        If it is damaged, made to do harm, or no edition.
    """
    with opened_archive(file, within) as archive:
        package = read_package(archive)
    content = file.read_bytes()
    try:
        version, as_of = Version.of(package["version"]), date.fromisoformat(package["asOf"])
    except (TrialpressError, KeyError, TypeError, ValueError):
        raise UnsafeArchiveError(file, f"its {PACKAGE_FILE} names no version") from None
    digest = hashlib.sha256(content).hexdigest()
    return Edition(version, as_of, file, len(content), digest, package)


def read_package(archive: OpenArchive) -> Mapping[str, Any]:
    """The ``datapackage.json`` of an archive.

    Raises
    ------
    UnsafeArchiveError
        If there is none, or it is none of Trialpress.
    """
    try:
        package = json.loads(archive.read(PACKAGE_FILE))
        program = package["program"]
        is_ours = all(isinstance(program[key], str) for key in ("version", "fingerprint"))
    except (ValueError, RecursionError, KeyError, TypeError):
        is_ours = False
    if not is_ours:
        raise UnsafeArchiveError(archive.file, f"its {PACKAGE_FILE} is none of Trialpress")
    return dict(package)
