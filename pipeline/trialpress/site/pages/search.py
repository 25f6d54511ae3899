"""Every page of the site by name: the search page, and the index that its script reads.

In:  the view.
Out: ``SearchPage`` and ``NotFoundPage``; ``site.search_index`` makes the index of the former.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls, wording
from trialpress.site.frame import Frame, frame_of
from trialpress.site.pages.claims import spoken
from trialpress.site.pages.factors import FactorsPage
from trialpress.site.pages.filters import comparable_price
from trialpress.site.pages.parameters import called
from trialpress.site.pages.prices import PricePage
from trialpress.site.source import SiteSource
from trialpress.site.templates import Page, of_kind
from trialpress.view import View, typed
from trialpress.view.terms import kind_name
from trialpress.words import message, say

# For translators: words that a reader may search for; take as many as your language needs.
FIGURES_WORDS = message(
    "rules uncertainty interval places confidence better level cannot tell provisional"
)
COVERINGS = {
    "carpet": message("carpet"),
    "rug": message("rug"),
    "mat": message("mat"),
    # For translators: of a floor.
    "hard": message("hard"),
}


@dataclass(frozen=True)
class Match:
    """One page to be found: its title, what kind of page it is, and words it answers to.

    ``price`` is that of a machine in the bench's money; ``is_filtered`` is true of a page whose
    rows can be filtered by kind and price in its address.
    """

    title: str
    kind: str
    url: str
    extra: str
    price: str = ""
    is_filtered: bool = False


@dataclass(frozen=True)
class MatchGroup:
    """The pages of one kind."""

    title: str
    pages: tuple[Match, ...]


@dataclass(frozen=True)
class SearchPage:
    """Everything the search page shows."""

    template: ClassVar[str] = "pages/search.html"
    frame: Frame
    groups: tuple[MatchGroup, ...]


@dataclass(frozen=True)
class NotFoundPage:
    """The page for an address that leads nowhere."""

    template: ClassVar[str] = "pages/not_found.html"
    frame: Frame


def search_page(source: SiteSource, pages: Sequence[Page]) -> SearchPage:
    """The search page."""
    settings = source.view.settings
    return SearchPage(
        frame=frame_of(
            settings,
            urls.SEARCH,
            say("Search"),
            say("Every page of {bench}, by name.", bench=settings.name),
        ),
        groups=_groups(source, pages),
    )


def not_found_page(source: SiteSource) -> NotFoundPage:
    """The page for an address that leads nowhere."""
    return NotFoundPage(
        frame_of(
            source.view.settings,
            urls.NOT_FOUND,
            say("No such page"),
            say("This address leads nowhere."),
        )
    )


def _groups(source: SiteSource, pages: Sequence[Page]) -> tuple[MatchGroup, ...]:
    view = source.view
    return (
        MatchGroup(say("Standings"), (*_standings(view), *_across())),
        MatchGroup(say("Machines"), tuple(_machine(view, row) for row in view.machines)),
        MatchGroup(say("Makers"), tuple(_maker(row) for row in view.makers)),
        MatchGroup(say("Questions"), tuple(_questions(source, pages))),
        MatchGroup(say("Films"), tuple(_films(view))),
        MatchGroup(say("Floors"), tuple(_floor(row) for row in view.floors)),
        MatchGroup(say("Methods"), tuple(_method(row) for row in view.current_series)),
        MatchGroup(say("About the bench and its data"), (*_others(), *_of_editions(source))),
    )


def _standings(view: View) -> tuple[Match, ...]:
    return tuple(
        Match(
            title=series.name.full,
            kind="standing",
            url=urls.standing_url(series),
            extra=" ".join(_of_series(view, series)),
            is_filtered=True,
        )
        for series in view.series.values()
    )


def _of_series(view: View, series: typed.Protocol) -> Iterator[str]:
    if series.floor:
        floor = view.floor[series.floor]
        yield from (floor.name, *called(floor))
    if series.soil:
        yield series.soil


def _across() -> tuple[Match, ...]:
    return (
        Match(say("Overall"), "standing", urls.OVERALL, say("all floors mean"), is_filtered=True),
        Match(say("My floors"), "standing", urls.MY_FLOORS, say("own weights overall home")),
        Match(say("All set-ups on all protocols"), "standing", urls.MATRIX, say("matrix table")),
        Match(say("Side by side"), "comparison", urls.COMPARE, say("compare set-ups")),
        Match(say("Two makers side by side"), "comparison", urls.MAKER_PAIR, say("compare makers")),
    )


def _questions(source: SiteSource, pages: Sequence[Page]) -> Iterator[Match]:
    """The pages of the analyses."""
    yield Match(say("What the numbers say"), "question", urls.QUESTIONS, say("questions answers"))
    yield Match(say("Results against prices"), "question", urls.PRICES, say("value money unbeaten"))
    yield Match(
        say("Claims against measurements"), "question", urls.CLAIMS, say("spec sheet air power")
    )
    yield Match(
        say("What goes with good results"), "question", urls.FACTORS, say("head mop kind year")
    )
    for quantity in source.view.analysed.claims:
        name = wording.capitalised(spoken(quantity))
        title = say("Claims: {quantity}", quantity=name)
        yield Match(title, "question", urls.claims_url(quantity), say("stated measured"))
    by_series: list[Page] = [*of_kind(pages, PricePage), *of_kind(pages, FactorsPage)]
    for page in by_series:
        if page.frame.url != urls.PRICES:
            yield Match(page.frame.title, "question", page.frame.url, "")


def _machine(view: View, machine: typed.Machine) -> Match:
    labels = [setup.label for setup in view.setups_of.get(machine.machine, ())]
    return Match(
        title=view.names.machines[machine.machine],
        kind="machine",
        url=urls.machine_url(machine.machine),
        extra=" ".join((kind_name(machine.kind), machine.head or "", *labels)).strip(),
        price=comparable_price(view, machine),
    )


def _maker(maker: typed.Maker) -> Match:
    return Match(maker.name, "maker", urls.maker_url(maker.maker), "")


def _floor(floor: typed.Floor) -> Match:
    words = " ".join((say(COVERINGS[floor.covering]), *called(floor)))
    return Match(floor.name, "floor", urls.floor_url(floor.floor), words)


def _films(view: View) -> Iterator[Match]:
    if view.films:
        yield Match(say("Films"), "list", urls.FILMS, "")
    for film in view.films:
        labels = " ".join(mark.label for mark in view.marks_of.get(film.film, ()))
        yield Match(film.title, "film", urls.film_url(film.film), labels)


def _method(series: typed.Protocol) -> Match:
    return Match(
        say("Method: {protocol}", protocol=series.title),
        "method",
        urls.method_url(series.protocol),
        "",
    )


def _others() -> tuple[Match, ...]:
    return (
        Match(say("All machines"), "list", urls.MACHINES, ""),
        Match(say("All makers"), "list", urls.MAKERS, ""),
        Match(say("Methods and floors"), "list", urls.METHODS, ""),
        Match(
            say("Data"), "dataset", urls.DATA, say("download licence citation dictionary columns")
        ),
        Match(say("Data dictionary"), "dataset", urls.DICTIONARY, say("tables columns units")),
        Match(say("Editions"), "dataset", urls.EDITIONS, say("frozen versions releases")),
        Match(say("Good practice with these data"), "dataset", urls.GOOD_PRACTICE, ""),
        Match(say("Corrections and warnings"), "list", urls.CORRECTIONS, ""),
        Match(
            say("Bench watch"),
            "list",
            urls.WATCH,
            say("control charts drift reference machine limits"),
        ),
        Match(say("How the figures are made"), "about", urls.FIGURES, say(FIGURES_WORDS)),
        Match(say("What is new"), "list", urls.NEWS, say("bench days feed atom")),
        Match(say("About this bench"), "about", urls.ABOUT, say("disclosure limits confidence")),
    )


def _of_editions(source: SiteSource) -> Iterator[Match]:
    """What is there as soon as an edition is."""
    if source.editions:
        yield Match(say("Ask the tables"), "dataset", urls.ASK, say("query SQL"))
