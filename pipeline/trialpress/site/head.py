"""What a page says of itself to other sites and to machines.

In:  the source and a page that is otherwise complete.
Out: the same page with preview, embed and data block in its frame; what its preview shows.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any, cast

from trialpress.charts import Chart, Strips, Ticket, TicketFigure
from trialpress.site.embedding import embed_of, preview_of
from trialpress.site.pages.editions import FrozenPage
from trialpress.site.pages.embeds import EmbedPage
from trialpress.site.pages.lines import StandingLine
from trialpress.site.pages.machine import MachinePage
from trialpress.site.pages.overall import OverallPage
from trialpress.site.pages.search import NotFoundPage
from trialpress.site.pages.standing import StandingPage
from trialpress.site.pages.worked import WorkedPage
from trialpress.site.source import SiteSource
from trialpress.site.structured import data_block_of
from trialpress.site.templates import Page
from trialpress.words import say

WITHOUT_OWN_PREVIEW = (NotFoundPage, WorkedPage, FrozenPage)
"""Pages that are reached from others and hardly ever shared."""


def with_head(source: SiteSource, page: Page) -> Page:
    """The page with everything that stands in its head."""
    if isinstance(page, EmbedPage):
        return page  # it says all of it by itself
    settings, chart = source.view.settings, chart_of(page)
    frame = replace(page.frame, data_block=data_block_of(source, page))
    if chart is not None:
        frame = replace(frame, embed=embed_of(settings, chart))
    if not isinstance(page, WITHOUT_OWN_PREVIEW):
        frame = replace(frame, preview=preview_of(settings, frame.url, frame.title))
    return cast("Page", _with_frame(page, frame))


def chart_of(page: Page) -> Chart | Strips | None:
    """The one chart of a page, where it has one."""
    return getattr(page, "chart", None)


def ticket_of(source: SiteSource, page: Page) -> Ticket:
    """What stands on the preview of one page."""
    settings, figure = source.view.settings, figure_of(page)
    title = _title(page)
    return Ticket(settings.name, title, page.frame.description, settings.notice or "", figure)


def figure_of(page: Page) -> TicketFigure | None:
    """The one figure that a page answers with: its first line; of a machine, that as unboxed."""
    match page:
        case StandingPage() if page.rows:
            return _of_line(page.rows[0].line, page.rows[0].line.name.full)
        case OverallPage() if page.rows:
            first = page.rows[0]
            return TicketFigure(
                name=first.name.full,
                value=first.value,
                unit=page.unit,
                interval=first.interval or "",
                place_best=first.place_best,
                place_worst=first.place_worst,
                ranked=len(page.rows),
                places=_places(first.places_spoken, len(page.rows)),
            )
        case MachinePage() if line := _first_line(page):
            return _of_line(line, page.name)
        case _:
            return None


def _of_line(line: StandingLine, name: str) -> TicketFigure:
    return TicketFigure(
        name=name,
        value=line.value,
        unit=line.unit,
        interval=line.interval or "",
        place_best=line.place_best,
        place_worst=line.place_worst,
        ranked=line.ranked,
        places=_places(line.places_spoken, line.ranked),
    )


def _places(spoken: str, ranked: int) -> str:
    # For translators: {places} is "anywhere from 4th to 9th", {ranked} how many have a place.
    return say("could be {places} of {ranked}", places=spoken, ranked=ranked)


def _title(page: Page) -> str:
    """What the figure of a page is about: on the page of a machine, the series of its figure."""
    line = _first_line(page) if isinstance(page, MachinePage) else None
    return line.series_title if line else page.frame.title


def _first_line(page: MachinePage) -> StandingLine | None:
    return next((there.line for setup in page.setups for there in setup.standings), None)


def _with_frame(page: Any, frame: Any) -> Any:  # noqa: ANN401 -- the kind of page it was
    return replace(page, frame=frame)
