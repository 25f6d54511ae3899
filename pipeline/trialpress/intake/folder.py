"""Which of the bench folder's files are which.

In:  a bench folder.
Out: its table files, descriptors and method texts in sorted order; findings for files that look
     like tables but are none, and for day folders with an odd name.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from trialpress.bench import CATALOGUE_TABLES, DAY_TABLES, Bench
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.nearest import nearest

_DAY_NAME = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})(-[a-z0-9]+)+")
_DATA_FILES = ("corrections.csv", "published.csv")


@dataclass(frozen=True)
class TableFile:
    """One CSV file and the table it belongs to; ``day`` is its day folder's name."""

    path: Path
    name: str
    table: str
    day: str | None = None
    day_date: date | None = None


@dataclass(frozen=True)
class Package:
    """A folder that is one data package: the catalogue, or one day."""

    folder: Path
    name: str
    tables: tuple[str, ...]


@dataclass(frozen=True)
class Listing:
    """Everything intake is going to read, in sorted order."""

    tables: tuple[TableFile, ...]
    packages: tuple[Package, ...]
    methods: tuple[Path, ...]
    findings: tuple[Finding, ...]


def list_bench(bench: Bench) -> Listing:
    """Walk the bench folder; nothing is opened."""
    days = _day_folders(bench)
    tables = _table_files(bench, bench.catalogue, CATALOGUE_TABLES, None, None)
    for folder in days:
        tables += _table_files(bench, folder, DAY_TABLES, folder.name, day_date(folder.name))
    corrections = bench.corrections_file
    if _is_there(corrections):
        tables.append(TableFile(corrections, bench.name_of(corrections), "corrections"))
    packages = [Package(bench.catalogue, bench.name_of(bench.catalogue), CATALOGUE_TABLES)]
    packages += [Package(folder, bench.name_of(folder), DAY_TABLES) for folder in days]
    return Listing(
        tuple(tables),
        tuple(packages),
        tuple(sorted((bench.catalogue / "methods").glob("*.md"))),
        (*_stray_files(bench, days), *_odd_day_names(bench, days)),
    )


def day_date(folder: str) -> date | None:
    """Read the date a day folder's name starts with; ``None`` where the name is no good."""
    match = _DAY_NAME.fullmatch(folder)
    try:
        return date.fromisoformat(match[1]) if match else None
    except ValueError:
        return None


def _day_folders(bench: Bench) -> list[Path]:
    if not bench.days.is_dir():
        return []
    return sorted(path for path in bench.days.iterdir() if path.is_dir() and _is_shown(path))


def _table_files(
    bench: Bench, folder: Path, tables: Sequence[str], day: str | None, date_: date | None
) -> list[TableFile]:
    paths = [(table, folder / f"{table}.csv") for table in sorted(tables)]
    return [
        TableFile(path, bench.name_of(path), table, day, date_)
        for table, path in paths
        if _is_there(path)
    ]


def _stray_files(bench: Bench, days: Sequence[Path]) -> list[Finding]:
    """Name each CSV that would be passed over because of its name or its place."""
    expected = [
        (bench.data, _DATA_FILES),
        (bench.catalogue, _file_names(CATALOGUE_TABLES)),
        (bench.days, ()),
        *((folder, _file_names(DAY_TABLES)) for folder in days),
    ]
    return [
        _stray_file(bench, path, names)
        for folder, names in expected
        for path in (sorted(folder.iterdir()) if folder.is_dir() else ())
        if path.suffix.lower() == ".csv" and path.name not in names and _is_shown(path)
    ]


def _stray_file(bench: Bench, path: Path, names: Sequence[str]) -> Finding:
    near = nearest(path.stem.lower(), frozenset(name.removesuffix(".csv") for name in names))
    return found(
        FindingCode.FILE_UNKNOWN,
        Place(bench.name_of(path)),
        path.name,
        variant="nearest" if near else "",
        nearest=f"{near}.csv",
    )


def _odd_day_names(bench: Bench, days: Sequence[Path]) -> list[Finding]:
    return [
        found(FindingCode.DAY_NAME, Place(bench.name_of(folder)), folder.name)
        for folder in days
        if day_date(folder.name) is None
    ]


def _file_names(tables: Sequence[str]) -> tuple[str, ...]:
    return tuple(f"{table}.csv" for table in tables)


def _is_there(path: Path) -> bool:
    """Whether there is anything of that name, be it a link to nowhere: that is worth a finding."""
    return path.exists() or path.is_symlink()


def _is_shown(path: Path) -> bool:
    """Whether it is no hidden file of an editor or the system."""
    return not path.name.startswith(".")
