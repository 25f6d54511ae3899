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
from trialpress.explain import CellExplanation, explain_machines
from trialpress.site.frozen import FrozenEdition
from trialpress.site.pages.lines import StandingLine, lines_of_series
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
    """View, charts, downloads and photos, and what is made of the view when a page asks for it.

    ``listing`` gives the downloads, which are written once the first page asks for them;
    ``editions`` are oldest first.
    """

    view: View
    charts: Charts
    listing: Callable[[], Sequence[Download]]
    photos: Mapping[str, PhotoFile]
    editions: Sequence[FrozenEdition] = ()

    @cached_property
    def lines(self) -> Mapping[SeriesKey, tuple[StandingLine, ...]]:
        """The whole standing of every series, in words."""
        return lines_of_series(self.view)

    @cached_property
    def worked(self) -> Mapping[str, Sequence[CellExplanation]]:
        """The explanations of each machine's standings."""
        return explain_machines(self.view)

    @cached_property
    def sentences(self) -> Sentences:
        """What the analyses say."""
        return Sentences(self.view)

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
