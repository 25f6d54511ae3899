"""What is new: bench days, published set-ups and corrections, newest first.

In:  the news.
Out: ``NewsPage``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls, wording
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.material import Material
from trialpress.site.news import news_of


@dataclass(frozen=True)
class NewsLine:
    """One item; ``item`` is its fragment, which the feeds refer to."""

    item: str
    on: str
    title: str
    text: str
    links: tuple[Link, ...]


@dataclass(frozen=True)
class NewsPage:
    """Everything the page of news shows."""

    template: ClassVar[str] = "pages/news.html"
    frame: Frame
    lines: tuple[NewsLine, ...]


def news_page(material: Material) -> NewsPage:
    """The page of news."""
    facts = material.facts
    return NewsPage(
        frame=frame_of(
            facts.settings,
            urls.NEWS,
            "What is new",
            "The latest bench days, set-ups and corrections, newest first, also as feeds.",
        ),
        lines=tuple(
            NewsLine(item.item, wording.day(item.on), item.title, item.text, item.links)
            for item in news_of(facts)
        ),
    )
