"""The open dataset: what to download, how to load and cite it, and what each column means.

In:  the list of files, the schemas and the bench's settings.
Out: ``DataPage``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialpress.bench import TABLES
from trialpress.intake.schemas import read_schema
from trialpress.site import urls, wording
from trialpress.site.facts import Facts
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.material import Download, Material


@dataclass(frozen=True)
class DownloadLine:
    """One file to download."""

    file: Link
    size: str
    description: str


@dataclass(frozen=True)
class Column:
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
    columns: tuple[Column, ...]


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
    settings = material.facts.settings
    downloads = [_download(file) for file in material.downloads]
    archives = [one for one in downloads if one.file.words.endswith(".zip")]
    return DataPage(
        frame=frame_of(
            settings,
            urls.DATA,
            "Data",
            f"Every reading of {settings.name} as typed, and every published figure, to download "
            "and recompute.",
        ),
        archive=archives[0] if archives else None,
        downloads=tuple(one for one in downloads if one not in archives),
        load=_load(material),
        citation=_citation(material.facts),
        tables=tuple(_table(name) for name in TABLES),
    )


def _download(file: Download) -> DownloadLine:
    return DownloadLine(
        Link(file.name, urls.download_url(file.name)),
        wording.file_size(file.size_bytes),
        file.description,
    )


def _citation(facts: Facts) -> str:
    """How to cite the data: the latest bench day in them says which state they are in."""
    days = [run.day_date for run in facts.runs if run.status == "valid"]
    until = f" Up to {wording.day(max(days))}." if days else ""
    name, address = facts.settings.name, facts.settings.base_url
    return f"{name}. Cleaning trials: readings and results.{until} {address}"


def _load(material: Material) -> str:
    """One line that loads the standings into a frame; blank where they are not published."""
    named = [file.name for file in material.downloads if file.name.endswith("standings.csv")]
    base = material.facts.settings.base_url
    return f'pandas.read_csv("{base}{urls.download_url(named[0])}")' if named else ""


def _table(name: str) -> TableWords:
    schema = read_schema(name)
    return TableWords(
        name=name,
        title=schema.title,
        description=schema.description,
        columns=tuple(
            Column(
                name=field.name,
                kind=field.type,
                unit=field.unit or "",
                description=field.description,
                is_key=field.name in schema.key,
                is_required=field.required,
            )
            for field in schema.fields
        ),
    )
