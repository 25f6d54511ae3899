"""The page of one series: who stands where, and how sure that is.

In:  one series and its standing.
Out: ``StandingPage``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from trialpress.charts import Chart
from trialpress.site import urls, wording
from trialpress.site.films import Moment, moment_of_place, moments_of_protocol
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.filters import FilterChoices, filter_choices
from trialpress.site.pages.lines import FULL_ROWS, StandingLine, usual_label
from trialpress.site.pages.parameters import Entry, parameters
from trialpress.site.pages.runs import open_plan
from trialpress.site.relations import series_name, verdicts_name
from trialpress.site.source import SiteSource
from trialpress.site.summaries import spread_summary, standing_summary
from trialpress.site.urls import SetupLink
from trialpress.view import SeriesKey, View, terms, typed
from trialpress.view.sentences.chance import chances_beside_ranges
from trialpress.words import figures, say


@dataclass(frozen=True)
class RankedLine:
    """One line of the table; ``beside`` leads to it and the first, ``film`` to where it is seen."""

    line: StandingLine
    film: Moment | None
    beside: Link | None
    is_last_in_cut: bool


@dataclass(frozen=True)
class VersionLink:
    """One series of the protocol, and whether it is the one on the page."""

    words: str
    url: str
    is_here: bool


@dataclass(frozen=True)
class UnrankedRow:
    """A set-up without a place, and why."""

    name: SetupLink
    why: str


@dataclass(frozen=True)
class StandingPage:
    """Everything the page of one series shows.

    ``questions`` lead to what was asked of the series beyond its standing. ``top_cut`` says the
    published cut, then who could swap; ``relations`` names the data that measure the set-ups
    against another one, ``verdicts`` those that make a standing of any of them. ``usual`` is the
    label that most set-ups bear; ``current`` leads from an earlier series to the one that counts.
    """

    template: ClassVar[str] = "pages/standing.html"
    full_rows: ClassVar[int] = FULL_ROWS
    frame: Frame
    unit: str
    summary: tuple[str, ...]
    ticket: tuple[Entry, ...]
    method: Link
    questions: tuple[Link, ...]
    chart: Chart | None
    choices: FilterChoices
    rows: tuple[RankedLine, ...]
    usual: str
    top_cut: tuple[str, ...]
    relations: str
    verdicts: str
    plan: str
    rests_on: tuple[str, ...]
    films: tuple[Moment, ...]
    unranked: tuple[UnrankedRow, ...]
    versions: tuple[VersionLink, ...]
    current: Link | None
    subset: str | None


def standing_page(source: SiteSource, series: typed.Protocol) -> StandingPage:
    """The page of one series."""
    view = source.view
    key = (series.protocol, series.version)
    lines = source.lines[key]
    return StandingPage(
        frame=frame_of(
            view.settings,
            urls.standing_url(series),
            series.name.full,
            _description(series, len(lines)),
            under=urls.HOME,
        ),
        unit=series.unit,
        summary=standing_summary(lines, view.settings),
        ticket=parameters(view, series),
        method=Link(say("How a run is made"), urls.method_url(series.protocol)),
        questions=_questions(source, series),
        chart=source.charts.standings.get(key),
        choices=filter_choices(view, [line.name.setup for line in lines]),
        rows=_rows(source, series, lines),
        usual=usual_label([line.name.label for line in lines]),
        top_cut=tuple(source.sentences.top_cuts.get(key, ())),
        relations=series_name(series),
        verdicts=verdicts_name(series),
        plan=open_plan(view, key),
        rests_on=_rests_on(view, key),
        films=moments_of_protocol(view, series.protocol),
        unranked=tuple(
            UnrankedRow(urls.setup_link(view, row.setup), wording.sentence(terms.WHY[row.why]))
            for row in view.not_ranked
            if (row.protocol, row.version) == key
        ),
        versions=_versions(source, series),
        current=_current(view, series),
        subset=urls.subset_url("protocols", series.protocol) if lines else None,
    )


def _rests_on(view: View, key: SeriesKey) -> tuple[str, ...]:
    """What the figures rest on, what they leave out, and chances that seem to say otherwise."""
    chances = chances_beside_ranges(view.standings_of.get(key, ()), view.settings.top_n)
    of_spread = (
        sentence
        for spread in view.spreads
        if (spread.protocol, spread.version) == key
        for sentence in spread_summary(spread)
    )
    return (*of_spread, *filter(None, (chances,)))


def _description(series: typed.Protocol, setups: int) -> str:
    return say(
        "{protocol}: {setups} compared on one bench, each with its interval and the range of "
        "places the runs cannot rule out.",
        protocol=series.title,
        setups=figures.count(setups, "set-up", "set-ups"),
    )


def _questions(source: SiteSource, series: typed.Protocol) -> tuple[Link, ...]:
    key, analysed = (series.protocol, series.version), source.view.analysed
    if not series.is_current:
        return ()
    links = (
        (Link(say("Against prices"), urls.prices_url(series)), analysed.values),
        (Link(say("What goes with it"), urls.factors_url(series)), analysed.associations),
    )
    return tuple(link for link, by_series in links if key in by_series)


def _rows(
    source: SiteSource, series: typed.Protocol, lines: Sequence[StandingLine]
) -> tuple[RankedLine, ...]:
    inside = [line for line in lines if line.place_key <= source.view.settings.top_n]
    last = inside[-1] if inside and len(inside) < len(lines) else None
    return tuple(
        RankedLine(
            line,
            moment_of_place(source.view, line.name.setup, series.protocol),
            _beside(lines[0], line),
            is_last_in_cut=line is last,
        )
        for line in lines
    )


def _beside(first: StandingLine, line: StandingLine) -> Link | None:
    if line is first:
        return None
    return Link(say("side by side"), urls.compare_url(first.name.setup, line.name.setup))


def _versions(source: SiteSource, series: typed.Protocol) -> tuple[VersionLink, ...]:
    """Every series of the protocol, the newest first; none where there is only one."""
    same = [one for one in source.view.series.values() if one.protocol == series.protocol]
    if len(same) == 1:
        return ()
    return tuple(VersionLink(_version(one), urls.standing_url(one), one is series) for one in same)


def _current(view: View, series: typed.Protocol) -> Link | None:
    """The series that counts now, where the one on the page does not."""
    if series.is_current:
        return None
    later = (one for one in view.current_series if one.protocol == series.protocol)
    return next((Link(_version(one), urls.standing_url(one)) for one in later), None)


def _version(series: typed.Protocol) -> str:
    since = figures.day(series.from_date)
    if series.is_current:
        return say("version {version}, from {day} (current)", version=series.version, day=since)
    return say("version {version}, from {day}", version=series.version, day=since)
