"""The data dictionary: every column of every table, with its unit and meaning.

In:  the list of files of the dataset, those of tables with their columns.
Out: ``DictionaryPage``.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import ClassVar

from trialpress.site import urls
from trialpress.site.frame import Frame, frame_of
from trialpress.site.source import ColumnWords, Download, SiteSource
from trialpress.words import message, say

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
    """One table and what its columns mean; ``anchor`` is its place on the page."""

    anchor: str
    path: str
    description: str
    columns: tuple[ColumnLine, ...]


@dataclass(frozen=True)
class DictionaryPage:
    """Everything the page of the dictionary shows."""

    template: ClassVar[str] = "pages/dictionary.html"
    frame: Frame
    tables: tuple[TableWords, ...]


def dictionary_page(source: SiteSource) -> DictionaryPage:
    """The page of the dictionary."""
    return DictionaryPage(
        frame=frame_of(
            source.view.settings,
            urls.DICTIONARY,
            say("Data dictionary"),
            say("What each column of each table of the data means, and its unit."),
            under=urls.DATA,
        ),
        tables=tuple(_table(file) for file in source.downloads if file.columns),
    )


def _table(file: Download) -> TableWords:
    path = PurePosixPath(file.name)
    return TableWords(
        anchor=path.stem,
        path=path.with_suffix("").as_posix(),
        description=file.description,
        columns=tuple(_column(file, column) for column in file.columns),
    )


def _column(file: Download, column: ColumnWords) -> ColumnLine:
    return ColumnLine(
        name=column.name,
        kind=say(COLUMN_KINDS[column.type]),
        unit=say(column.unit) if column.unit else "",
        description=column.description,
        is_key=column.name in file.key,
        is_required=column.required,
    )
