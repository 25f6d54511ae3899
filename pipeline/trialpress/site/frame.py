"""What every page has around it: name, notice, navigation, addresses.

In:  the bench's settings and what one page says of itself.
Out: a ``Frame``, a field of every page's object.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from urllib.parse import urlsplit

from trialpress.bench import Settings
from trialpress.charts.chart import Json
from trialpress.site import urls
from trialpress.site.embedding import Embed, Preview, preview_of
from trialpress.site.reporting import report_url
from trialpress.words import ENGLISH, figures, message, say, spoken


@dataclass(frozen=True)
class Link:
    """Words and where they lead, relative to the site's root."""

    words: str
    url: str


@dataclass(frozen=True)
class NavLink:
    """One word of the navigation."""

    words: str
    url: str
    is_here: bool


@dataclass(frozen=True)
class Notice:
    """What a bench says on every page: its first sentence, and what a narrow screen folds away."""

    first: str
    rest: str

    @property
    def full(self) -> str:
        """All of it."""
        return f"{self.first} {self.rest}".rstrip()


@dataclass(frozen=True)
class Frame:
    """The part of a page that is not its own.

    ``report`` is where an error on the page is reported; None where the contact is no address.
    ``preview`` is the picture that other sites show of the page, ``embed`` how to show its chart
    there, ``data_block`` what it says to machines in the words of schema.org. ``language`` is a tag
    as in BCP 47, ``direction`` how it is written: ``ltr`` or ``rtl``; ``is_translated``
    whether its texts are others than those of the code.
    """

    language: str
    direction: str
    is_translated: bool
    url: str
    root: str
    canonical: str
    title: str
    description: str
    bench: str
    notice: Notice | None
    licence: str
    contact: str
    report: str | None
    confidence: str
    top_n: int
    nav: tuple[NavLink, ...]
    preview: Preview
    embed: Embed | None = None
    data_block: Json = None


NAVIGATION = (
    Link(message("Standings"), urls.HOME),
    Link(message("Overall"), urls.OVERALL),
    Link(message("Machines"), urls.MACHINES),
    Link(message("Makers"), urls.MAKERS),
    Link(message("Questions"), urls.QUESTIONS),
    Link(message("Methods"), urls.METHODS),
    Link(message("Data"), urls.DATA),
    Link(message("Corrections"), urls.CORRECTIONS),
    Link(message("About"), urls.ABOUT),
)
"""Its words are said where a page is framed."""


def frame_of(
    settings: Settings, url: str, title: str, description: str, *, under: str = ""
) -> Frame:
    """The frame of one page.

    Parameters
    ----------
    settings : Settings
        What the bench says of itself.
    url : str
        The page's address, relative to the site's root.
    title, description : str
        What the page is called, and one sentence on what stands on it.
    under : str
        Address of the word in the navigation that this page belongs to; its own by default.
    """
    language, address = spoken(), settings.base_url + url
    return Frame(
        language=language.tag,
        direction=language.locale.text_direction,
        is_translated=language != ENGLISH,
        url=url,
        root=_root(settings, url),
        canonical=settings.base_url + url.removesuffix(urls.HOME if url == urls.HOME else ""),
        title=title,
        description=description,
        bench=settings.name,
        notice=_notice(settings),
        licence=settings.licence,
        contact=settings.contact,
        report=None if url == urls.NOT_FOUND else report_url(settings, title, address),
        confidence=figures.percent(settings.confidence),
        top_n=settings.top_n,
        nav=tuple(
            NavLink(say(link.words), link.url, link.url == (under or url)) for link in NAVIGATION
        ),
        preview=preview_of(settings, urls.HOME, settings.name),
    )


def _notice(settings: Settings) -> Notice | None:
    if not settings.notice:
        return None
    first, *rest = re.split(r"(?<=[.?!])\s+", settings.notice.strip(), maxsplit=1)
    return Notice(first, *rest or ("",))


def _root(settings: Settings, url: str) -> str:
    """Relative, except on the page for a missing address, which is shown at any depth."""
    return urlsplit(settings.base_url).path if url == urls.NOT_FOUND else urls.root_from(url)
