"""Films: what each shows at which second, and what was corrected since it was published.

In:  the films that may be seen, with their marks.
Out: ``FilmsPage`` and a ``FilmPage`` each; none for a bench without films.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls
from trialpress.site.films import Pin, clock, pins_of, value_now
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.source import SiteSource
from trialpress.store import grouped
from trialpress.view import View
from trialpress.view.typed import Film, FilmMark
from trialpress.words import figures, say


@dataclass(frozen=True)
class MarkLine:
    """What a film shows from one second on; ``results`` are the pages with what came of it."""

    anchor: str
    at: str
    watch: str
    label: str
    results: tuple[Link, ...]
    now: str


@dataclass(frozen=True)
class FilmPage:
    """Everything the page of one film shows.

    ``corrected`` are sentences on what it shows and what is true now; ``is_dated`` where it is
    known from which day on they count.
    """

    template: ClassVar[str] = "pages/film.html"
    frame: Frame
    watch: str
    published_on: str
    is_dated: bool
    marks: tuple[MarkLine, ...]
    corrected: tuple[str, ...]


@dataclass(frozen=True)
class FilmLine:
    """One film in the list of all."""

    page: Link
    published_on: str
    shown: str
    corrected: str


@dataclass(frozen=True)
class FilmsPage:
    """Everything the list of films shows."""

    template: ClassVar[str] = "pages/films.html"
    frame: Frame
    lines: tuple[FilmLine, ...]


def film_pages(source: SiteSource) -> Iterator[FilmsPage | FilmPage]:
    """The list of films and the page of each, where the bench has any to show."""
    view = source.view
    if not view.films:
        return
    pins = grouped(pins_of(view), lambda pin: pin.film.film)
    yield FilmsPage(
        frame=frame_of(
            view.settings,
            urls.FILMS,
            say("Films"),
            say("Every film about these results: what it shows, and what was corrected since."),
            under=urls.HOME,
        ),
        lines=tuple(_film_line(view, film, len(pins.get(film.film, ()))) for film in view.films),
    )
    for film in view.films:
        yield _film_page(source, film, tuple(pins.get(film.film, ())))


def _film_line(view: View, film: Film, corrected: int) -> FilmLine:
    shown = [mark for mark in view.marks_of.get(film.film, ()) if mark.shows]
    return FilmLine(
        page=Link(film.title, urls.film_url(film.film)),
        published_on=_published(film),
        shown=say("{places} shown", places=figures.count(len(shown), "result", "results")),
        corrected=figures.count(corrected, "correction since", "corrections since")
        if corrected
        else "",
    )


def _film_page(source: SiteSource, film: Film, pins: tuple[Pin, ...]) -> FilmPage:
    view = source.view
    return FilmPage(
        frame=frame_of(
            view.settings,
            urls.film_url(film.film),
            film.title,
            say(
                "{film}: what it shows at which second, where that stands now, and what was "
                "corrected since.",
                film=film.title,
            ),
            under=urls.HOME,
        ),
        watch=film.whole,
        published_on=_published(film),
        is_dated=film.published_on is not None,
        marks=tuple(_mark_line(source, film, m) for m in view.marks_of.get(film.film, ())),
        corrected=tuple(pin.sentence for pin in pins),
    )


def _published(film: Film) -> str:
    return figures.day(film.published_on) if film.published_on else ""


def _mark_line(source: SiteSource, film: Film, mark: FilmMark) -> MarkLine:
    return MarkLine(
        anchor=f"at-{mark.seconds}",
        at=clock(mark.at),
        watch=film.second(mark.seconds),
        label=mark.label,
        results=tuple(_results(source.view, mark)),
        now=_now(source, mark),
    )


def _results(view: View, mark: FilmMark) -> Iterator[Link]:
    """The pages of what a mark shows: its run or machine, and the standing it counts in."""
    if mark.run:
        run = view.run[mark.run]
        name = view.names.setups[run.setup].full
        yield Link(name, urls.run_url(view.setup[run.setup].machine, run.run))
        series = view.series[run.protocol, run.series_version]
        yield Link(series.name.full, urls.standing_url(series))
    elif mark.setup:
        name = view.names.setups[mark.setup].full
        yield Link(name, urls.machine_url(view.setup[mark.setup].machine))
    elif mark.protocol:
        for series in view.series.values():
            if series.protocol == mark.protocol and series.is_current:
                yield Link(series.name.full, urls.standing_url(series))


def _now(source: SiteSource, mark: FilmMark) -> str:
    """What a run that is shown gives now, and where its set-up stands with it."""
    view = source.view
    if not mark.run or mark.run not in view.run_result:
        return ""
    run = view.run[mark.run]
    lines = source.lines[run.protocol, run.series_version]
    line = next((one for one in lines if one.name.setup == run.setup), None)
    if line is None:
        return ""
    return say(
        "This run now: {value}. The mean of its {runs}: {mean}, {place} by mean, could be "
        "{places}.",
        value=value_now(view, run),
        runs=line.runs,
        mean=figures.with_unit(line.value, line.unit),
        place=figures.ordinal(line.place_key),
        places=line.places_spoken,
    )
