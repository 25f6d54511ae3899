"""Up to four set-ups side by side: the page, with a pair to begin with.

In:  rulers and columns, and how the pair stands towards each other.
Out: ``ComparePage``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.columns import BesideCell, BesideColumn, Ruler, columns_of, rulers_of
from trialpress.site.relations import difference_words, series_name
from trialpress.site.source import SiteSource
from trialpress.view import View, verdicts
from trialpress.view.verdicts import Verdict
from trialpress.words import figures, say

AT_ONCE = 4


@dataclass(frozen=True)
class Offer:
    """One set-up that can be put beside others."""

    setup: str
    words: str


@dataclass(frozen=True)
class MakerOffers:
    """The set-ups of one maker."""

    maker: str
    offers: tuple[Offer, ...]


@dataclass(frozen=True)
class ExampleRow:
    """One series of the pair; None where a set-up was not run on it."""

    ruler: Ruler
    cells: tuple[BesideCell | None, BesideCell | None]
    verdict: Verdict | None
    difference: str

    @property
    def is_drawn(self) -> bool:
        """Whether there is anything to put on the ruler."""
        return any(cell and cell.marks for cell in self.cells)


@dataclass(frozen=True)
class KnownOfBoth:
    """What is known of both."""

    what: str
    texts: tuple[str, str]


@dataclass(frozen=True)
class Example:
    """The pair as a table of its own."""

    columns: tuple[BesideColumn, BesideColumn]
    top: tuple[KnownOfBoth, ...]
    rows: tuple[ExampleRow, ...]


@dataclass(frozen=True)
class ComparePage:
    """What the page shows before its script fills it; ``start`` is a pair to begin with."""

    template: ClassVar[str] = "pages/compare.html"
    frame: Frame
    at_once: int
    makers: tuple[MakerOffers, ...]
    start: Link | None
    example: Example | None


def compare_page(source: SiteSource) -> ComparePage:
    """The page that puts set-ups side by side."""
    view = source.view
    return ComparePage(
        frame=frame_of(
            view.settings,
            urls.COMPARE,
            say("Side by side"),
            say(
                "Up to {most} set-ups side by side on every protocol: means, intervals, and the "
                "difference in words.",
                most=AT_ONCE,
            ),
            under=urls.MACHINES,
        ),
        at_once=AT_ONCE,
        makers=_offers(view),
        start=_start(view),
        example=_example(source),
    )


def _offers(view: View) -> tuple[MakerOffers, ...]:
    return tuple(
        MakerOffers(
            maker.name,
            tuple(
                Offer(setup.setup, view.names.setups[setup.setup].full)
                for machine in view.machines_of.get(maker.maker, ())
                for setup in view.setups_of.get(machine.machine, ())
            ),
        )
        for maker in view.makers
    )


def _pair(view: View) -> tuple[str, ...]:
    """The first two of the overall, where it has two."""
    first = tuple(row.setup for row in view.overall[:2])
    return first if len(first) == 2 else ()  # noqa: PLR2004  a pair


def _start(view: View) -> Link | None:
    pair = _pair(view)
    names = figures.listing([view.names.setups[setup].full for setup in pair])
    return Link(names, urls.compare_url(*pair)) if pair else None


def _example(source: SiteSource) -> Example | None:
    """The pair to begin with, as it is written for who has no scripts."""
    pair = _pair(source.view)
    if not pair:
        return None
    columns = columns_of(source)
    first, second = (columns[setup] for setup in pair)
    rows = tuple(
        ExampleRow(ruler, (first.cells.get(ruler.name), second.cells.get(ruler.name)), *difference)
        for ruler in rulers_of(source)
        for difference in [_towards(source.view, ruler.name, pair)]
    )
    top = tuple(
        KnownOfBoth(what, (text, other))
        for (what, text), (_, other) in zip(first.top, second.top, strict=True)
    )
    return Example((first, second), top, rows)


def _towards(view: View, series: str, pair: Sequence[str]) -> tuple[Verdict | None, str]:
    """The verdict on the second towards the first, and the difference, where both were run."""
    key = next((one.key for one in view.current_series if series_name(one) == series), None)
    pairs = view.comparisons(key) if key else None
    if key is None or pairs is None or not all(setup in pairs.position for setup in pair):
        return None, ""
    first, second = pair
    found = pairs.between(second, first)
    verdict = verdicts.relation(
        found.relation,
        is_by_less_than_matters=found.by_less_than_matters,
        could_matter=found.could_matter,
    )
    return verdict, difference_words(found, view.standings_of[key][0].decimals)
