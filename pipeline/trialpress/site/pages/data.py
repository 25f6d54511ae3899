"""The open dataset: what to download, how to load it, recompute it and cite it.

In:  the list of files, the editions and the bench's settings.
Out: ``DataPage``.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import ClassVar

from trialpress.editions import LATEST, Edition
from trialpress.editions.loading import (
    RECIPE_SQL,
    LoadLine,
    database_line,
    load_lines,
    recipe_pandas,
)
from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.editions import edition_citation
from trialpress.site.source import Download, SiteSource
from trialpress.view import View
from trialpress.words import figures, say


@dataclass(frozen=True)
class DownloadForm:
    """A file in one format, such as csv."""

    file: Link
    size: str


@dataclass(frozen=True)
class DownloadLine:
    """What can be downloaded, in one format or several."""

    name: str
    description: str
    forms: tuple[DownloadForm, ...]


@dataclass(frozen=True)
class DataPage:
    """Everything the page of the dataset shows."""

    template: ClassVar[str] = "pages/data.html"
    frame: Frame
    archive: DownloadLine | None
    archive_name: str
    downloads: tuple[DownloadLine, ...]
    loads: tuple[LoadLine, ...]
    recipes: tuple[LoadLine, ...]
    edition: Edition | None
    edition_day: str
    citation: str


def data_page(source: SiteSource) -> DataPage:
    """The page of the dataset."""
    settings = source.view.settings
    archives = [file for file in source.downloads if file.name.endswith(".zip")]
    others = [file for file in source.downloads if file not in archives]
    edition = source.editions[-1].edition if source.editions else None
    base = settings.base_url + urls.download_url(f"{LATEST}/" if edition else "")
    return DataPage(
        frame=frame_of(
            settings,
            urls.DATA,
            say("Data"),
            say(
                "Every reading of {bench} as typed, and every published figure, to download and "
                "recompute.",
                bench=settings.name,
            ),
        ),
        archive=next(_lines(archives), None),
        archive_name=_saved_name(source.view),
        downloads=tuple(_lines(others)),
        loads=(*load_lines(base), *([database_line()] if edition else [])),
        recipes=(
            LoadLine("pandas", "python", recipe_pandas(base)),
            *([LoadLine("SQLite", "sql", RECIPE_SQL)] if edition else []),
        ),
        edition=edition,
        edition_day=figures.day(edition.as_of) if edition else "",
        citation=_citation(source.view, edition),
    )


def _saved_name(view: View) -> str:
    """What a browser saves the archive as: whose it is and of when, while its address stays."""
    plain = unicodedata.normalize("NFKD", view.settings.name).encode("ascii", "ignore").decode()
    bench = re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-") or "bench"
    return f"{bench}-{view.store.as_of}.zip"


def _lines(files: Sequence[Download]) -> Iterator[DownloadLine]:
    """One line for the formats of one table, which follow on each other."""
    for name, forms in groupby(files, lambda file: _without_form(file.name)):
        same = tuple(forms)
        yield DownloadLine(name, same[0].description, tuple(_form(file) for file in same))


def _without_form(name: str) -> str:
    """The name of a file without its ending, where it has one."""
    return name.rpartition(".")[0] or name


def _form(file: Download) -> DownloadForm:
    _, dot, ending = file.name.rpartition(".")
    format_name = ending if dot else say("text")
    link = Link(format_name, urls.download_url(file.name))
    return DownloadForm(link, figures.file_size(file.size_bytes))


def _citation(view: View, edition: Edition | None) -> str:
    """How to cite the data: an edition; without one, the latest bench day says which state."""
    days = [run.day_date for run in view.runs if run.status == "valid"]
    name, address = view.settings.name, view.settings.base_url
    if edition:
        return edition_citation(view.settings, edition)
    if not days:
        return say(
            "{bench}. Cleaning trials: readings and results. {address}",
            bench=name,
            address=address,
        )
    return say(
        "{bench}. Cleaning trials: readings and results. Up to {day}. {address}",
        bench=name,
        day=figures.day(max(days)),
        address=address,
    )
