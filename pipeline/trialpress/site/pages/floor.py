"""One floor, and the head of every standing made on it.

In:  one floor and the series on it.
Out: ``FloorPage``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls, wording
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.home import SeriesTicket, series_ticket
from trialpress.site.pages.parameters import Entry, called, covering_words
from trialpress.site.source import SiteSource
from trialpress.view import typed
from trialpress.words import figures, say


@dataclass(frozen=True)
class FloorPage:
    """Everything the page of one floor shows."""

    template: ClassVar[str] = "pages/floor.html"
    frame: Frame
    called: str
    ticket: tuple[Entry, ...]
    note: str | None
    tickets: tuple[SeriesTicket, ...]
    earlier: tuple[Link, ...]


def floor_page(source: SiteSource, floor: typed.Floor) -> FloorPage:
    """The page of one floor."""
    view = source.view
    here = [series for series in view.series.values() if series.floor == floor.floor]
    return FloorPage(
        frame=frame_of(
            view.settings,
            urls.floor_url(floor.floor),
            floor.name,
            say(
                "{floor}: what it is, and who stands first on it in each protocol.",
                floor=floor.name,
            ),
            under=urls.METHODS,
        ),
        called=wording.capitalised(", ".join(called(floor))) if floor.called else "",
        ticket=_ticket(floor),
        note=wording.sentence(floor.note) if floor.note else None,
        tickets=tuple(series_ticket(source, series) for series in here if series.is_current),
        earlier=tuple(
            Link(series.name.full, urls.standing_url(series))
            for series in here
            if not series.is_current
        ),
    )


def _ticket(floor: typed.Floor) -> tuple[Entry, ...]:
    entries = (
        Entry(say("Covering"), covering_words(floor)),
        # For translators: the day a floor was laid.
        Entry(say("Laid"), figures.day(floor.laid_on) if floor.laid_on else ""),
        # For translators: the day a floor was taken up again.
        Entry(say("Lifted"), figures.day(floor.lifted_on) if floor.lifted_on else ""),
    )
    return tuple(entry for entry in entries if entry.text)
