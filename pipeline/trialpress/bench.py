"""The bench folder: where things lie.

In:  the folder a tester works in.
Out: paths, which saving of a file is meant, and which files were saved since one looked last. What
     the files say is read by ``intake``.
"""

from __future__ import annotations

import os
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from trialpress.ordinary_file import open_ordinary

CATALOGUE_TABLES = (
    "makers",
    "machines",
    "setups",
    "floors",
    "soils",
    "instruments",
    "protocols",
    "claims",
)
READING_TABLES = ("weighings", "values", "counts", "gradings")
TABLE_OF_READING: Mapping[str, str] = {
    "collected": "weighings",
    "left": "weighings",
    "graded": "gradings",
    "value": "values",
    "count": "counts",
}
"""The table that the runs of a protocol stand in, by its ``reading``."""
READING_COLUMNS: Mapping[str, tuple[str, ...]] = {
    "weighings": ("dose_g", "before_g", "after_g", "gain_g", "blank_g"),
    "values": ("value",),
    "counts": ("hits", "tries"),
    "gradings": ("grade",),
}
"""What a run has read once it is made; a planned one has none of it."""
DAY_TABLES = (*READING_TABLES, "conditions", "photos")
FILM_TABLES = ("films", "film_marks")
"""Films about results: written beside the data, and edited where something is wrong with them."""
CORRECTED_TABLES = (*CATALOGUE_TABLES, *DAY_TABLES)
"""Tables whose rows are put right by corrections alone."""
TABLES = (*CORRECTED_TABLES, "corrections", *FILM_TABLES)
_END = 65_536
_OWN_RECORDS = ("published.csv",)  # written by publish, after the build that it publishes
Snapshot = Mapping[str, tuple[int, int]]
"""When each file of a bench was saved last, in ns, and its size in bytes, by its path."""


@dataclass(frozen=True)
class Bench:
    """Where everything in one bench folder lies.

    ``trusts_templates`` is for one whose own templates may run any code.
    """

    root: Path
    trusts_templates: bool = False

    @property
    def data(self) -> Path:
        """The folder with everything typed by hand."""
        return self.root / "data"

    @property
    def settings_file(self) -> Path:
        """``bench.toml``."""
        return self.data / "bench.toml"

    @property
    def catalogue(self) -> Path:
        """The slow-changing package: makers, machines, protocols and so on."""
        return self.data / "catalogue"

    @property
    def days(self) -> Path:
        """The folder of bench days."""
        return self.data / "days"

    @property
    def corrections_file(self) -> Path:
        """``corrections.csv``."""
        return self.data / "corrections.csv"

    @property
    def editions(self) -> Path:
        """The frozen editions of the dataset."""
        return self.data / "editions"

    @property
    def own_templates(self) -> Path:
        """Templates with which a bench replaces the site's own, one by one."""
        return self.root / "site_templates"

    def translation(self, language: str) -> Path:
        """The texts of the pages in one language, as a gettext file."""
        return self.data / "words" / f"{language}.po"

    def name_of(self, path: Path) -> str:
        """The path as findings print it: relative to the bench, with ``/``."""
        return path.relative_to(self.root).as_posix()


@dataclass(frozen=True)
class SavedFile:
    """A file as it was saved once: the same by any name, until somebody saves it again.

    What takes long to read can be remembered by it, in a process that reads a bench many times.
    ``ends`` is a checksum of how it begins and ends, since clocks of disks are coarse.
    """

    device: int
    inode: int
    saved_ns: int
    size: int
    ends: int
    path: Path = field(compare=False)


def saved_file(path: Path) -> SavedFile:
    """The file as it stands now; ``OSError`` if there is none."""
    with open_ordinary(path) as opened:
        stat = os.fstat(opened.fileno())
        ends = zlib.crc32(opened.read(_END))
        opened.seek(max(stat.st_size - _END, 0))
        ends = zlib.crc32(opened.read(_END), ends)
    return SavedFile(stat.st_dev, stat.st_ino, stat.st_mtime_ns, stat.st_size, ends, path)


def snapshot(bench: Bench) -> Snapshot:
    """Time and size of everything typed and of the bench's own templates; nothing is opened."""
    return {
        entry.path: (stat.st_mtime_ns, stat.st_size)
        for folder in (bench.data, bench.own_templates)
        for entry, stat in _files(folder)
    }


def _files(folder: Path) -> Iterator[tuple[os.DirEntry[str], os.stat_result]]:
    try:
        entries = list(os.scandir(folder))
    except OSError:
        return
    for entry in entries:
        if entry.name.startswith(".") or entry.name in _OWN_RECORDS:
            continue
        if entry.is_dir(follow_symlinks=False):  # links to folders may go round in circles
            yield from _files(Path(entry.path))
            continue
        try:
            yield entry, entry.stat()
        except OSError:  # gone since it was listed
            continue


@dataclass(frozen=True)
class Meter:
    """A balance, or any other meter, that sends lines of text to a port of this machine.

    ``pattern`` is the shape of its lines, ``stable`` the shape of those that do not move any more,
    ``baud`` its speed in signs a second; ``instrument`` names it in the catalogue.
    """

    name: str
    port: str
    unit: str
    pattern: str = "{value} {unit}"
    baud: int = 9600
    stable: str | None = None
    instrument: str | None = None


@dataclass(frozen=True)
class Settings:
    """What ``bench.toml`` says.

    ``confidence`` is the two-sided level of every interval; ``top_n`` the number of places in the
    top cut; ``notice`` is shown on every page, for a bench whose data are invented, say;
    ``show_operators`` lets the names of those who made or graded runs be published;
    ``overall`` says whether set-ups are ranked by the ratio of their means or in steps that matter;
    ``language`` is the tag (BCP 47) of what the pages are written in; ``synonyms`` are words that
    readers search for, each with the pages' own words for it, several joined by ``|``; ``meters``
    are those that type their readings into the bench sheet.
    """

    format: int
    name: str
    base_url: str
    time_zone: str
    licence: str
    contact: str
    currency: str
    top_n: int
    confidence: float
    disclosure: str
    notice: str | None
    single_runs: str
    overall: str = "ratio"
    show_operators: bool = False
    language: str = "en"
    synonyms: Mapping[str, str] = field(default_factory=dict, hash=False)
    meters: tuple[Meter, ...] = ()


def kinds_of(text: str | None) -> tuple[str, ...]:
    """The kinds of machines that a protocol's ``kinds`` names; none where it is blank."""
    return tuple(kind.strip() for kind in text.split("|") if kind.strip()) if text else ()


def applies_to(text: str | None, kind: str) -> bool:
    """Whether a protocol with these ``kinds`` applies to a kind of machine; blank means to all."""
    return not kinds_of(text) or kind in kinds_of(text)
