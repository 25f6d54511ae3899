"""What every page is made from.

In:  the store, the charts, the list of downloads and the published photos.
Out: ``SiteSource``, handed to each page's own function.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from trialpress.charts import Charts
from trialpress.explain import CellExplanation
from trialpress.site.frozen import FrozenEdition
from trialpress.site.pages.lines import StandingLine
from trialpress.site.photos import PhotoFile
from trialpress.view import SeriesKey, View
from trialpress.view.sentences import Sentences


class ColumnWords(Protocol):
    """A column of a table as its schema describes it."""

    @property
    def name(self) -> str:
        """Its name."""

    @property
    def type(self) -> str:
        """What it holds: string, integer, number, boolean or date."""

    @property
    def description(self) -> str:
        """What it means, in a sentence."""

    @property
    def unit(self) -> str | None:
        """The unit of its figures."""

    @property
    def required(self) -> bool:
        """Whether it may never be blank."""


class Download(Protocol):
    """One file of the dataset folder, as the dataset stage lists it."""

    @property
    def name(self) -> str:
        """Path inside the dataset folder."""

    @property
    def size_bytes(self) -> int:
        """Its size."""

    @property
    def description(self) -> str:
        """What it holds, in a sentence."""

    @property
    def columns(self) -> Sequence[ColumnWords]:
        """The columns of a table; none of other files."""

    @property
    def key(self) -> Sequence[str]:
        """The names of the columns that tell its rows apart."""


@dataclass(frozen=True)
class SiteSource:
    """View, the standings already in words, charts, downloads and photos.

    ``listing`` gives the downloads, which are written once the first page asks for them.
    ``worked`` holds the explanations of each machine's standings, ``sentences`` what the analyses
    say, ``editions`` are oldest first.
    """

    view: View
    lines: Mapping[SeriesKey, tuple[StandingLine, ...]]
    charts: Charts
    listing: Callable[[], Sequence[Download]]
    photos: Mapping[str, PhotoFile]
    worked: Mapping[str, Sequence[CellExplanation]]
    sentences: Sentences
    editions: Sequence[FrozenEdition] = ()

    @cached_property
    def downloads(self) -> Sequence[Download]:
        """The files of the dataset, the archive first."""
        return self.listing()

    def lines_of(self, setup: str) -> Mapping[SeriesKey, StandingLine]:
        """The lines of one set-up, by series in the order of ``lines``."""
        return self._lines_of.get(setup, {})

    @cached_property
    def _lines_of(self) -> Mapping[str, Mapping[SeriesKey, StandingLine]]:
        found: dict[str, dict[SeriesKey, StandingLine]] = {}
        for key, lines in self.lines.items():
            for line in lines:
                found.setdefault(line.name.setup, {})[key] = line
        return found
