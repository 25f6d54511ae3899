"""The open dataset: what to download, how to load and cite it, and what each column means.

In:  the list of files, the schemas and the bench's settings.
Out: ``DataPage``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import ClassVar

from trialpress.bench import TABLES
from trialpress.intake.schemas import read_schema
from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.material import Download, Material
from trialpress.view import View
from trialpress.words import figures, message, say

COLUMN_KINDS = {
    # For translators: what a column of a table holds.
    "boolean": message("boolean"),
    # For translators: what a column of a table holds.
    "date": message("date"),
    # For translators: what a column of a table holds.
    "integer": message("integer"),
    # For translators: what a column of a table holds.
    "number": message("number"),
    # For translators: what a column of a table holds.
    "string": message("string"),
}


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
class ColumnLine:
    """One column of a table."""

    name: str
    kind: str
    unit: str
    description: str
    is_key: bool
    is_required: bool


@dataclass(frozen=True)
class TableWords:
    """One table of the bench and what its columns mean."""

    name: str
    title: str
    description: str
    columns: tuple[ColumnLine, ...]


@dataclass(frozen=True)
class DataPage:
    """Everything the page of the dataset shows."""

    template: ClassVar[str] = "pages/data.html"
    frame: Frame
    archive: DownloadLine | None
    downloads: tuple[DownloadLine, ...]
    load: str
    citation: str
    tables: tuple[TableWords, ...]


def data_page(material: Material) -> DataPage:
    """The page of the dataset."""
    settings = material.view.settings
    archives = [file for file in material.downloads if file.name.endswith(".zip")]
    others = [file for file in material.downloads if file not in archives]
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
        downloads=tuple(_lines(others)),
        load=_load(material),
        citation=_citation(material.view),
        tables=tuple(_table(name) for name in TABLES),
    )


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


def _citation(view: View) -> str:
    """How to cite the data: the latest bench day in them says which state they are in."""
    days = [run.day_date for run in view.runs if run.status == "valid"]
    name, address = view.settings.name, view.settings.base_url
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


def _load(material: Material) -> str:
    """One line that loads the standings into a frame; blank where they are not published."""
    named = [file.name for file in material.downloads if file.name.endswith("standings.csv")]
    base = material.view.settings.base_url
    return f'pandas.read_csv("{base}{urls.download_url(named[0])}")' if named else ""


def _table(name: str) -> TableWords:
    schema = read_schema(name)
    return TableWords(
        name=name,
        title=say(schema.title),
        description=say(schema.description),
        columns=tuple(
            ColumnLine(
                name=field.name,
                kind=say(COLUMN_KINDS[field.type]),
                unit=field.unit or "",
                description=say(field.description),
                is_key=field.name in schema.key,
                is_required=field.required,
            )
            for field in schema.fields
        ),
    )
