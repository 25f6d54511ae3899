"""The small bench of the tests as the site stage meets it."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Protocol

import pytest

from trialpress.analyses import work_out_analyses
from trialpress.bench import Bench
from trialpress.charts import Charts, draw_charts
from trialpress.intake import read_bench
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.site import write_site
from trialpress.site.photos import publish_photos
from trialpress.site.source import SiteSource
from trialpress.store import build_store
from trialpress.view import View
from trialpress.words import spoken

SMALL = Path(__file__).parents[1] / "folders" / "base"
EVERYTHING = date(2031, 7, 1)
NO_CHARTS = Charts({}, None, {}, {}, {})
VIEWS: dict[tuple[date, str, bytes], View] = {}


@dataclass(frozen=True)
class OneColumn:
    name: str
    type: str
    description: str
    unit: str | None
    required: bool


@dataclass(frozen=True)
class OneFile:
    name: str
    size_bytes: int
    description: str
    columns: tuple[OneColumn, ...] = ()
    key: tuple[str, ...] = ()


COLUMNS = (
    OneColumn("setup", "string", "Identifier of the set-up.", None, required=True),
    OneColumn("mean", "number", "The mean of its runs.", "%", required=False),
)
DOWNLOADS = (
    OneFile("trialpress-dataset.zip", 12_400, "Everything below in one archive."),
    OneFile("results/standings.csv", 812, "One row a set-up and series.", COLUMNS, ("setup",)),
    OneFile("results/standings.parquet", 640, "One row a set-up and series."),
)


class WriteSite(Protocol):
    """Writes the site of the bench, and gives back its folder."""

    def __call__(self, as_of: date = EVERYTHING) -> Path: ...


class ReadSource(Protocol):
    """Reads the bench into what pages are made from."""

    def __call__(self) -> SiteSource: ...


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """A copy of the small bench that a test may change."""
    return Bench(Path(shutil.copytree(SMALL, tmp_path / "bench")))


@pytest.fixture(scope="session")
def source(tmp_path_factory: pytest.TempPathFactory) -> SiteSource:
    """What the pages of the small bench are made from, without charts."""
    view = view_of(Bench(SMALL), EVERYTHING)
    return source_of(view, Bench(SMALL), NO_CHARTS, tmp_path_factory.mktemp("photos"))


@pytest.fixture
def drawn(bench: Bench, tmp_path: Path) -> ReadSource:
    """A way to read the bench as a test has left it, charts and all."""

    def read() -> SiteSource:
        view = view_of(bench, EVERYTHING)
        return source_of(view, bench, draw_charts(view), tmp_path / "photos")

    return read


@pytest.fixture
def write(bench: Bench, tmp_path: Path) -> WriteSite:
    """A way to write the site of the bench as of a date."""

    def write_as_of(as_of: date = EVERYTHING) -> Path:
        folder = tmp_path / f"site-{as_of}"
        write_site(view_of(bench, as_of), NO_CHARTS, lambda: DOWNLOADS, folder, bench)
        return folder

    return write_as_of


def source_of(view: View, bench: Bench, charts: Charts, folder: Path) -> SiteSource:
    return SiteSource(
        view=view,
        charts=charts,
        listing=lambda: DOWNLOADS,
        photos=publish_photos(view.photos, bench.days, folder),
    )


def view_of(bench: Bench, as_of: date) -> View:
    """The view of a bench; benches with the same rows share one, as working it out is dear."""
    checked = read_bench(bench, as_of)
    key = as_of, spoken().tag, rows_of(bench)
    if key not in VIEWS:
        store = build_store(checked, as_of)
        measure_runs(store)
        work_out(store)
        work_out_analyses(store)
        VIEWS[key] = View(store)
    return VIEWS[key]


def rows_of(bench: Bench) -> bytes:
    """A digest of what a store is made from: all of the data but the record of pages."""
    digest = sha256()
    for file in sorted(bench.data.rglob("*")):
        if file.is_file() and file.name != "published.csv":
            content = sha256(file.read_bytes()).hexdigest()
            digest.update(f"{file.relative_to(bench.data)} {content}\n".encode())
    return digest.digest()
