"""What is new: bench days, published set-ups and corrections, newest first.

In:  the news, and the sentences on movements.
Out: ``NewsPage``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.news import DAY, NewsItem, moved_anchor, news_of
from trialpress.site.source import SiteSource
from trialpress.store import grouped
from trialpress.view.sentences.movements import within_doubt
from trialpress.words import figures, say, say_count


@dataclass(frozen=True)
class NewsLine:
    """One item; ``item`` is its fragment, which the feeds refer to."""

    item: str
    on: str
    title: str
    text: str
    links: tuple[Link, ...]


@dataclass(frozen=True)
class Moved:
    """What moved over the latest bench days.

    ``within`` counts who moved no further than the runs leave open, ``pushed`` who made room.
    """

    anchor: str
    span: str
    sentences: tuple[str, ...]
    within: str
    pushed: str


@dataclass(frozen=True)
class NewsPage:
    """Everything the page of news shows."""

    template: ClassVar[str] = "pages/news.html"
    frame: Frame
    moved: tuple[Moved, ...]
    lines: tuple[NewsLine, ...]


def news_page(source: SiteSource) -> NewsPage:
    """The page of news."""
    view, moved = source.view, _moved(source)
    above = {one.anchor for one in moved}
    return NewsPage(
        frame=frame_of(
            view.settings,
            urls.NEWS,
            say("What is new"),
            say("The latest bench days, set-ups and corrections, newest first, also as feeds."),
        ),
        moved=moved,
        lines=tuple(
            NewsLine(item.item, figures.day(item.on), item.title, _text(item), item.links)
            for item in news_of(source)
            if item.item not in above
        ),
    )


def _text(item: NewsItem) -> str:
    """The links of a bench day say its text already."""
    return "" if item.item.startswith(DAY) else item.text


def _moved(source: SiteSource) -> tuple[Moved, ...]:
    by_span = grouped(source.view.movements, lambda row: row.since.isoformat())
    return tuple(
        Moved(
            anchor=moved_anchor(since),
            span=span,
            sentences=tuple(
                source.sentences.movements[(since, row.setup, (row.protocol, row.version))]
                for row in by_span.get(since, ())
                if not row.is_pushed and not row.is_within
            ),
            within=within_doubt(
                sum(row.is_within and not row.is_pushed for row in by_span.get(since, ()))
            ),
            pushed=_pushed(sum(row.is_pushed for row in by_span.get(since, ()))),
        )
        for since, span in source.sentences.spans.items()
    )


def _pushed(pushed: int) -> str:
    if not pushed:
        return ""
    return say_count(
        "{standings} only stands lower because newcomers stand above.",
        "{standings} only stand lower because newcomers stand above.",
        pushed,
        standings=figures.count(pushed, "other standing", "other standings"),
    )
