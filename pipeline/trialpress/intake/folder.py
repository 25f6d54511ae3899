"""Which of the bench folder's files are which.

In:  a bench folder.
Out: its table files, descriptors and method texts in sorted order; findings for files that look
     like tables but are none, and for day folders with an odd name.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from trialpress.bench import CATALOGUE_TABLES, DAY_TABLES, FILM_TABLES, Bench
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.nearest import nearest
from trialpress.intake.textfile import unreadable
from trialpress.ordinary_file import open_ordinary

_DAY_NAME = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})(-[a-z0-9]+)+")
_DATA_FILES = ("corrections.csv", "published.csv", "films.csv", "film_marks.csv")


@dataclass(frozen=True)
class TableFile:
    """One CSV file and the table it belongs to; ``day`` is its day folder's name."""

    path: Path
    name: str
    table: str
    day: str | None = None

    @property
    def day_date(self) -> date | None:
        """The date of the day; ``None`` outside the days, and where the folder's name has none."""
        return None if self.day is None else date_of(self.day)


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
    tables = _table_files(bench, bench.catalogue, CATALOGUE_TABLES, None)
    for folder in days:
        tables += _table_files(bench, folder, DAY_TABLES, folder.name)
    corrections = bench.corrections_file
    if _is_there(corrections):
        tables.append(TableFile(corrections, bench.name_of(corrections), "corrections"))
    tables += _table_files(bench, bench.data, FILM_TABLES, None)
    packages = [Package(bench.catalogue, bench.name_of(bench.catalogue), CATALOGUE_TABLES)]
    packages += [Package(folder, bench.name_of(folder), DAY_TABLES) for folder in days]
    return Listing(
        tuple(tables),
        tuple(packages),
        tuple(path for path in _entries(bench.catalogue / "methods") if path.suffix == ".md"),
        (
            *_closed_folders(bench, days),
            *_stray_files(bench, days),
            *_odd_day_names(bench, days),
            *_odd_templates(bench),
        ),
    )


def date_of(folder: str) -> date | None:
    """Read the date a day folder's name starts with; ``None`` where the name is no good."""
    match = _DAY_NAME.fullmatch(folder)
    try:
        return date.fromisoformat(match[1]) if match else None
    except ValueError:
        return None


def _day_folders(bench: Bench) -> list[Path]:
    return [path for path in _entries(bench.days) if path.is_dir()]


def _entries(folder: Path) -> list[Path]:
    """What a folder holds, without hidden files of an editor or the system."""
    try:
        return sorted(path for path in folder.iterdir() if not path.name.startswith("."))
    except OSError:
        return []


def _table_files(
    bench: Bench, folder: Path, tables: Sequence[str], day: str | None
) -> list[TableFile]:
    paths = [(table, folder / f"{table}.csv") for table in sorted(tables)]
    return [
        TableFile(path, bench.name_of(path), table, day) for table, path in paths if _is_there(path)
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
        for path in _entries(folder)
        if path.suffix.lower() == ".csv" and path.name not in names
    ]


def _closed_folders(bench: Bench, days: Sequence[Path]) -> list[Finding]:
    """Name each folder that is there but cannot be looked into, or is a file."""
    findings = []
    for folder in (bench.data, bench.catalogue, bench.catalogue / "methods", bench.days, *days):
        try:
            next(folder.iterdir(), None)
        except FileNotFoundError:
            continue
        except OSError as error:
            place = Place(bench.name_of(folder))
            code = FindingCode.FILE_UNREADABLE
            findings.append(found(code, place, variant="folder", reason=error.strerror))
    return findings


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
        if date_of(folder.name) is None
    ]


def _odd_templates(bench: Bench) -> Iterator[Finding]:
    """Name each file of the bench's own look that is none, or leads out of the bench."""
    for path in sorted(bench.own_templates.rglob("*")):
        if path.is_dir() and not path.is_symlink():
            continue
        try:
            open_ordinary(path, within=bench.root).close()
        except OSError as error:
            yield unreadable(error, Place(bench.name_of(path)))


def _file_names(tables: Sequence[str]) -> tuple[str, ...]:
    return tuple(f"{table}.csv" for table in tables)


def _is_there(path: Path) -> bool:
    """Whether there is anything of that name, be it a link to nowhere: that is worth a finding."""
    return path.exists() or path.is_symlink()
