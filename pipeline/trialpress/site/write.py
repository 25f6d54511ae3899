"""The site's own order: read, say, draw in, write.

In:  the view, the charts, the list of downloads and the bench folder.
Out: a folder that works from disk, from any server and without scripts.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from trialpress.bench import Bench
from trialpress.charts import (
    Charts,
    check_vendored,
    draw_ticket,
    palette_css,
    read_theme,
    shipped_templates,
)
from trialpress.editions import read_editions
from trialpress.explain import explain_cells
from trialpress.paths import write_below
from trialpress.products import Products
from trialpress.site import crawling, urls
from trialpress.site.data_scripts import DataScript, chart_scripts
from trialpress.site.embedding import oembed
from trialpress.site.feeds import atom_feed, json_feed
from trialpress.site.frozen import FrozenEdition
from trialpress.site.head import ticket_of, with_head
from trialpress.site.news import news_of
from trialpress.site.pages.about import about_page
from trialpress.site.pages.ask import ask_pages
from trialpress.site.pages.bench_watch import bench_watch_page
from trialpress.site.pages.claims import claims_index_page, claims_pages
from trialpress.site.pages.columns import column_scripts
from trialpress.site.pages.compare import compare_page
from trialpress.site.pages.corrections import corrections_page
from trialpress.site.pages.data import data_page
from trialpress.site.pages.dictionary import dictionary_page
from trialpress.site.pages.editions import edition_pages, now_script
from trialpress.site.pages.embeds import EmbedPage, embed_pages
from trialpress.site.pages.factors import factors_index_page, factors_pages
from trialpress.site.pages.figures import figures_page
from trialpress.site.pages.films import film_pages
from trialpress.site.pages.floor import floor_page
from trialpress.site.pages.good_practice import good_practice_page
from trialpress.site.pages.home import home_page
from trialpress.site.pages.lines import lines_of_series
from trialpress.site.pages.machine import machine_page
from trialpress.site.pages.machines import machines_page
from trialpress.site.pages.maker_pair import maker_pair_page, makers_script
from trialpress.site.pages.makers import maker_page, makers_page
from trialpress.site.pages.matrix import matrix_page
from trialpress.site.pages.methods import method_page, methods_page, versions_of
from trialpress.site.pages.my_floors import my_floors_page
from trialpress.site.pages.news import news_page
from trialpress.site.pages.overall import overall_page
from trialpress.site.pages.prices import price_pages
from trialpress.site.pages.questions import questions_page
from trialpress.site.pages.search import (
    SearchPage,
    not_found_page,
    search_page,
)
from trialpress.site.pages.standing import standing_page
from trialpress.site.pages.worked import worked_page
from trialpress.site.permanence import moved_pages
from trialpress.site.photos import publish_photos
from trialpress.site.relations import overall_script, relations_scripts, verdicts_script
from trialpress.site.search_index import search_index
from trialpress.site.source import Download, SiteSource
from trialpress.site.styles import style_of
from trialpress.site.templates import STATIC, Page, of_kind, own_templates, render
from trialpress.store import grouped
from trialpress.view import View
from trialpress.view.sentences import word_analyses
from trialpress.words import ENGLISH, spoken
from trialpress.words.catalogue import language_script

BUILDING = shutil.ignore_patterns("source", "BUILDING.md", "RECORD.json")  # for developers


@dataclass(frozen=True)
class PageInView:
    """A page that somebody waits for.

    ``show`` is called as soon as it is made, before all others, with its file and those of the data
    that its scripts ask for: contents by path, the same bytes that are written later.
    """

    url: str
    show: Callable[[Mapping[str, bytes]], None]


def write_site(  # noqa: PLR0913, PLR0917
    view: View,
    charts: Charts,
    listing: Callable[[], Sequence[Download]],
    folder: Path,
    bench: Bench,
    products: Products | None = None,
    in_view: PageInView | None = None,
) -> None:
    """Write the whole site.

    Parameters
    ----------
    view : View
        With every result table.
    charts : Charts
        The charts of the same build.
    listing : callable
        Gives the files that ``dataset/`` below the site will hold, the archive first; called once.
    folder : Path
        Where to write; made where absent, and expected to be empty.
    bench : Bench
        For its photos and for templates that replace the shipped ones.
    products : Products, optional
        Where pages and pictures are made and kept.
    in_view : PageInView, optional
        The page to be made before all others.

    Raises
    ------
    VanishedPagesError, WrongMoveError, UnreadableRecordError
        If a page that was published would not be there any more.
    VendoredFileError
        If the shipped chart runtime is not the one on record.
    """
    folders = (bench.own_templates, shipped_templates())
    for vendored in ("vendor", "vendor/sqlite"):
        check_vendored(shipped_templates() / STATIC / vendored)
    _copy_static(folders, folder)
    photos = publish_photos(view.photos, bench.days, folder)
    worked = grouped(explain_cells(view), lambda cell: view.setup[cell.setup].machine)
    source = SiteSource(
        view=view,
        lines=lines_of_series(view),
        charts=charts,
        listing=listing,
        photos=photos,
        worked=worked,
        sentences=word_analyses(view),
        editions=tuple(FrozenEdition(one) for one in read_editions(bench, view.store.as_of)),
    )
    _write(folder, f"{STATIC}/palette.css", palette_css(read_theme()))
    for sheet in sorted((folder / STATIC).glob("*.css")):
        _write(folder, f"{STATIC}/{sheet.name}", style_of(sheet))
    pages = pages_of(source, partial(_show, source, bench, in_view) if in_view else None)
    for search in of_kind(pages, SearchPage):
        index = search_index(search, view.settings, {one.kind for one in view.machines})
        _write(folder, f"{STATIC}/search-index.js", index)
    if spoken() != ENGLISH:
        _write(folder, f"{STATIC}/language.js", language_script(_scripts_in(folders)))
    for script in data_scripts_of(source):
        _write(folder, script.url, script.text)
    headed = [with_head(source, page) for page in pages]
    titles = {page.frame.url: page.frame.title for page in headed}
    moved = moved_pages(view.settings, bench, view.store.as_of, titles)
    _write_pages((*headed, *moved), bench, folder, products or Products())
    _write_pictures(source, headed, folder, products or Products())
    _write_for_programs(source, [page.frame.canonical for page in headed], folder)


def _show(source: SiteSource, bench: Bench, in_view: PageInView, page: Page) -> None:
    """Show a page with its data, if it is the one that somebody waits for."""
    if page.frame.url == in_view.url:
        files = {page.frame.url: render(own_templates(bench), with_head(source, page))}
        files |= {script.url: script.text.encode() for script in data_scripts_of(source)}
        in_view.show(files)


def pages_of(source: SiteSource, met: Callable[[Page], None] | None = None) -> tuple[Page, ...]:
    """Every page of the site, each made once; search and embeds take from the others.

    ``met`` is called with each as soon as it is made.
    """
    pages = []
    for page in _pages(source):
        pages.append(page)
        if met:
            met(page)
    return (
        *pages,
        search_page(source, pages),
        not_found_page(source),
        *embed_pages(source, pages),
    )


def _pages(source: SiteSource) -> Iterator[Page]:
    view, worked = source.view, source.worked
    yield home_page(source)
    yield overall_page(source)
    yield my_floors_page(source)
    yield matrix_page(source)
    yield compare_page(source)
    yield from (standing_page(source, series) for series in view.series.values())
    yield machines_page(source)
    yield from (machine_page(source, machine) for machine in view.machines)
    yield from (worked_page(source, row) for row in view.machines if row.machine in worked)
    yield makers_page(source)
    yield from (maker_page(source, maker) for maker in view.makers)
    yield maker_pair_page(source)
    yield questions_page(source)
    yield from price_pages(source)
    yield claims_index_page(source)
    yield from claims_pages(source)
    yield factors_index_page(source)
    yield from factors_pages(source)
    yield from film_pages(source)
    yield methods_page(source)
    yield from (method_page(source, versions) for versions in versions_of(view))
    yield from (floor_page(source, floor) for floor in view.floors)
    yield data_page(source)
    yield from ask_pages(source)
    yield dictionary_page(source)
    yield good_practice_page(source)
    yield from edition_pages(source)
    yield about_page(source)
    yield figures_page(source)
    yield corrections_page(source)
    yield bench_watch_page(source)
    yield news_page(source)


def data_scripts_of(source: SiteSource) -> Iterator[DataScript]:
    """What the scripts of pages ask for when they need it."""
    view = source.view
    yield from column_scripts(source)
    yield from relations_scripts(view)
    yield now_script(view)
    yield from chart_scripts(source.charts)
    if source.charts.pairs:
        yield makers_script(source, source.charts.pairs)
    for series in view.series.values():
        yield verdicts_script(view, series)
    if view.overall:
        yield overall_script(view)


def _write_pages(pages: Sequence[Page], bench: Bench, folder: Path, products: Products) -> None:
    rendered = products.make(partial(render, own_templates(bench)), pages, each_s=0.007)
    for page, text in zip(pages, rendered, strict=True):
        write_below(folder, page.frame.url, text)


def _write_pictures(
    source: SiteSource, pages: Sequence[Page], folder: Path, products: Products
) -> None:
    """What other sites show of each page: its own picture, or its chart in a frame."""
    pictured = []
    for page in pages:
        frame = page.frame
        if isinstance(page, EmbedPage) and frame.embed:
            text = oembed(source.view.settings, frame.embed, frame.preview)
            _write(folder, frame.embed.oembed_url, text)
        elif frame.preview.path == urls.preview_url(frame.url):
            pictured.append(page)
    tickets = [ticket_of(source, page) for page in pictured]
    pictures = products.make(draw_ticket, tickets, each_s=0.015)
    for page, picture in zip(pictured, pictures, strict=True):
        write_below(folder, page.frame.preview.path, picture)


def _write_for_programs(source: SiteSource, canonicals: Sequence[str], folder: Path) -> None:
    """Feeds, and what search engines and servers are told."""
    settings, news = source.view.settings, news_of(source)
    _write(folder, urls.ATOM, atom_feed(settings, news))
    _write(folder, urls.JSON_FEED, json_feed(settings, news))
    lasting = set(canonicals) - {settings.base_url + urls.NOT_FOUND}
    _write(folder, urls.SITEMAP, crawling.sitemap(lasting))
    _write(folder, crawling.ROBOTS, crawling.robots(settings))
    _write(folder, crawling.AS_IS, "")
    _write(folder, crawling.HEADERS, crawling.headers())


def _scripts_in(folders: Sequence[Path]) -> list[Path]:
    return [one for one in (folder / STATIC / "js" for folder in folders) if one.is_dir()]


def _copy_static(folders: Sequence[Path], folder: Path) -> None:
    """Copy the shipped static files, then the bench's own over them."""
    for templates in reversed(folders):
        if (templates / STATIC).is_dir():
            shutil.copytree(
                templates / STATIC, folder / STATIC, dirs_exist_ok=True, ignore=BUILDING
            )


def _write(folder: Path, url: str, text: str) -> None:
    write_below(folder, url, text.encode("utf-8"))
