"""The site's own order: read, say, draw in, write.

In:  the view, the charts, the list of downloads and the bench folder.
Out: a folder that works from disk, from any server and without scripts.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator, Sequence
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
from trialpress.paths import write_below
from trialpress.products import Products
from trialpress.site import crawling, urls
from trialpress.site.data_scripts import DataScript, chart_scripts
from trialpress.site.embedding import oembed
from trialpress.site.feeds import atom_feed, json_feed
from trialpress.site.frozen import FrozenEdition
from trialpress.site.head import ticket_of, with_head
from trialpress.site.news import news_of
from trialpress.site.page_list import PageAhead, pages_of
from trialpress.site.pages.columns import column_scripts
from trialpress.site.pages.editions import now_script
from trialpress.site.pages.embeds import EmbedPage
from trialpress.site.pages.maker_pair import makers_script
from trialpress.site.pages.search import SearchPage
from trialpress.site.permanence import moved_pages
from trialpress.site.photos import publish_photos
from trialpress.site.relations import overall_script, relations_scripts, verdicts_script
from trialpress.site.search_index import search_index
from trialpress.site.source import Download, SiteSource
from trialpress.site.styles import style_of
from trialpress.site.templates import STATIC, Page, of_kind, own_templates, render
from trialpress.view import View
from trialpress.words import ENGLISH, spoken
from trialpress.words.catalogue import language_script

BUILDING = shutil.ignore_patterns("source", "BUILDING.md", "RECORD.json")  # for developers


@dataclass(frozen=True)
class MadePage:
    """A page as it is written."""

    url: str
    content: bytes


@dataclass(frozen=True)
class PageInView:
    """A page that somebody waits for; it is made before all others, and ``show`` called with it."""

    url: str
    show: Callable[[MadePage], None]


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
    source = SiteSource(
        view=view,
        charts=charts,
        listing=listing,
        photos=photos,
        editions=tuple(FrozenEdition(one) for one in read_editions(bench, view.store.as_of)),
    )
    _write(folder, f"{STATIC}/palette.css", palette_css(read_theme()))
    for sheet in sorted((folder / STATIC).glob("*.css")):
        _write(folder, f"{STATIC}/{sheet.name}", style_of(sheet))
    pages = pages_of(source, _first_of(source, bench, in_view) if in_view else None)
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


def _first_of(source: SiteSource, bench: Bench, in_view: PageInView) -> PageAhead:
    """The page that somebody waits for, to be shown as soon as it is made."""

    def show(page: Page) -> None:
        content = render(own_templates(bench), with_head(source, page))
        in_view.show(MadePage(page.frame.url, content))

    return PageAhead(in_view.url, show)


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
