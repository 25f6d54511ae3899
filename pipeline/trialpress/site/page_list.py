"""Every page of the site, in its order.

In:  the source.
Out: the pages, each made once; one that somebody waits for is made before all others.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import chain

from trialpress.site import urls
from trialpress.site.pages.about import about_page
from trialpress.site.pages.ask import ask_pages
from trialpress.site.pages.bench_watch import bench_watch_page
from trialpress.site.pages.claims import claims_index_page, claims_pages
from trialpress.site.pages.compare import compare_page
from trialpress.site.pages.corrections import corrections_page
from trialpress.site.pages.data import data_page
from trialpress.site.pages.dictionary import dictionary_page
from trialpress.site.pages.editions import edition_pages
from trialpress.site.pages.embeds import embed_pages
from trialpress.site.pages.factors import factors_index_page, factors_pages
from trialpress.site.pages.figures import figures_page
from trialpress.site.pages.films import film_pages
from trialpress.site.pages.floor import floor_page
from trialpress.site.pages.good_practice import good_practice_page
from trialpress.site.pages.home import home_page
from trialpress.site.pages.machine import machine_page
from trialpress.site.pages.machines import machines_page
from trialpress.site.pages.maker_pair import maker_pair_page
from trialpress.site.pages.makers import maker_page, makers_page
from trialpress.site.pages.matrix import matrix_page
from trialpress.site.pages.methods import method_page, methods_page, versions_of
from trialpress.site.pages.my_floors import my_floors_page
from trialpress.site.pages.news import news_page
from trialpress.site.pages.overall import overall_page
from trialpress.site.pages.prices import price_pages
from trialpress.site.pages.questions import questions_page
from trialpress.site.pages.search import not_found_page, search_page
from trialpress.site.pages.standing import standing_page
from trialpress.site.pages.worked import worked_page
from trialpress.site.source import SiteSource
from trialpress.site.templates import Page


@dataclass(frozen=True)
class PageAhead:
    """A page to be made before all others; ``met`` gets it as soon as it is."""

    url: str
    met: Callable[[Page], None]


@dataclass(frozen=True)
class _Turn:
    """The pages at one address, or at all that begin with it, and what makes them."""

    url: str
    make: Callable[[], Iterable[Page]]


def pages_of(source: SiteSource, ahead: PageAhead | None = None) -> tuple[Page, ...]:
    """Every page of the site; search and embeds take from the others."""
    turns = list(_turns(source))
    made: dict[int, tuple[Page, ...]] = {}
    for number in _in_turn(turns, ahead):
        made[number] = tuple(turns[number].make())
        for page in made[number]:
            if ahead and page.frame.url == ahead.url:
                ahead.met(page)
    pages = tuple(chain.from_iterable(made[number] for number in range(len(turns))))
    return (
        *pages,
        search_page(source, pages),
        not_found_page(source),
        *embed_pages(source, pages),
    )


def _in_turn(turns: list[_Turn], ahead: PageAhead | None) -> list[int]:
    """The numbers of all turns, those first that may make the page that is wanted ahead.

    Else it is the page for which the dataset is written, while there is little else in memory.
    """
    first = ahead.url if ahead else urls.DATA
    return sorted(range(len(turns)), key=lambda number: not first.startswith(turns[number].url))


def _turns(source: SiteSource) -> Iterator[_Turn]:
    yield from _of_standings(source)
    yield from _of_questions(source)
    yield from _of_the_bench(source)


def _of_standings(source: SiteSource) -> Iterator[_Turn]:
    view = source.view
    yield _one(source, urls.HOME, home_page)
    yield _one(source, urls.OVERALL, overall_page)
    yield _one(source, urls.MY_FLOORS, my_floors_page)
    yield _one(source, urls.MATRIX, matrix_page)
    yield _one(source, urls.COMPARE, compare_page)
    for series in view.series.values():
        yield _one(source, urls.standing_url(series), standing_page, series)
    yield _one(source, urls.MACHINES, machines_page)
    for machine in view.machines:
        yield _one(source, urls.machine_url(machine.machine), machine_page, machine)
    for machine in view.machines:
        if machine.machine in source.worked:
            yield _one(source, urls.worked_url(machine.machine), worked_page, machine)
    yield _one(source, urls.MAKERS, makers_page)
    for maker in view.makers:
        yield _one(source, urls.maker_url(maker.maker), maker_page, maker)
    yield _one(source, urls.MAKER_PAIR, maker_pair_page)


def _of_questions(source: SiteSource) -> Iterator[_Turn]:
    yield _one(source, urls.QUESTIONS, questions_page)
    yield _Turn("prices", partial(price_pages, source))
    yield _one(source, urls.CLAIMS, claims_index_page)
    yield _Turn("claims/", partial(claims_pages, source))
    yield _one(source, urls.FACTORS, factors_index_page)
    yield _Turn("goes-with/", partial(factors_pages, source))
    yield _Turn("films/", partial(film_pages, source))


def _of_the_bench(source: SiteSource) -> Iterator[_Turn]:
    view = source.view
    yield _one(source, urls.METHODS, methods_page)
    for versions in versions_of(view):
        yield _one(source, urls.method_url(versions[0].protocol), method_page, versions)
    for floor in view.floors:
        yield _one(source, urls.floor_url(floor.floor), floor_page, floor)
    yield _one(source, urls.DATA, data_page)
    yield _Turn(urls.ASK, partial(ask_pages, source))
    yield _one(source, urls.DICTIONARY, dictionary_page)
    yield _one(source, urls.GOOD_PRACTICE, good_practice_page)
    yield _Turn("editions/", partial(edition_pages, source))
    yield _one(source, urls.ABOUT, about_page)
    yield _one(source, urls.FIGURES, figures_page)
    yield _one(source, urls.CORRECTIONS, corrections_page)
    yield _one(source, urls.WATCH, bench_watch_page)
    yield _one(source, urls.NEWS, news_page)


def _one(source: SiteSource, url: str, make: Callable[..., Page], *of: object) -> _Turn:
    return _Turn(url, lambda: (make(source, *of),))
