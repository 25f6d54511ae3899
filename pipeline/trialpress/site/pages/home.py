"""The first page: what this bench is, who stands first in each series, what is new.

In:  everything.
Out: ``HomePage``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.filters import Choice
from trialpress.site.pages.lines import StandingLine, usual_label
from trialpress.site.pages.parameters import Entry, floor_in_words, floor_link
from trialpress.site.source import SiteSource
from trialpress.store import grouped
from trialpress.view import View, typed, verdicts
from trialpress.view.terms import kind_name
from trialpress.words import figures, form, say

LATEST_DAYS = 4
LATEST_FILMS = 3
NEWEST_MACHINES = 6


@dataclass(frozen=True)
class SeriesTicket:
    """The head of one standing: the set-ups in the top cut by value."""

    title: str
    url: str
    floor: Link
    unit: str
    better: str
    lines: tuple[StandingLine, ...]
    usual: str
    rest: str


@dataclass(frozen=True)
class WayIn:
    """One floor in readers' words, the standing that answers for it, and who is first there."""

    floor: Link
    series: Link
    first: StandingLine


@dataclass(frozen=True)
class BenchDay:
    """One day at the bench."""

    day: str
    runs: str
    series: tuple[Link, ...]
    machines: str


@dataclass(frozen=True)
class NewMachine:
    """A machine that came to the bench lately."""

    machine: Link
    kind: str
    first_day: str


@dataclass(frozen=True)
class NewFilm:
    """One film, and the day it was published on."""

    film: Link
    published_on: str


@dataclass(frozen=True)
class HomePage:
    """Everything the first page shows."""

    template: ClassVar[str] = "pages/home.html"
    frame: Frame
    runs: str | None
    runs_noun: str
    ways: tuple[WayIn, ...]
    kinds: tuple[Choice, ...]
    currency: str
    ticket: tuple[Entry, ...]
    tickets: tuple[SeriesTicket, ...]
    days: tuple[BenchDay, ...]
    newest: tuple[NewMachine, ...]
    films: tuple[NewFilm, ...]


def home_page(source: SiteSource) -> HomePage:
    """The first page."""
    view = source.view
    valid = [run for run in view.runs if run.status == "valid"]
    days = sorted({run.day_date for run in valid})
    return HomePage(
        frame=frame_of(
            view.settings,
            urls.HOME,
            view.settings.name,
            say(
                "{bench}: cleaning machines tested on one bench, every run published with its "
                "uncertainty.",
                bench=view.settings.name,
            ),
        ),
        runs=_whole(len(valid)) if valid else None,
        runs_noun=form("run", "runs", len(valid)),
        ways=tuple(_ways(source)),
        kinds=_kinds(view),
        currency=view.settings.currency,
        ticket=_ticket(view, days),
        tickets=tuple(series_ticket(source, series) for series in view.current_series),
        days=_latest_days(view),
        newest=_newest_machines(view),
        films=tuple(
            NewFilm(
                Link(film.title, urls.film_url(film.film)),
                figures.day(film.published_on) if film.published_on else "",
            )
            for film in view.films[:LATEST_FILMS]
        ),
    )


def _ways(source: SiteSource) -> Iterator[WayIn]:
    """The standings on cleaning, those that count for the overall first."""
    view = source.view
    cleaning = [series for series in view.current_series if series.reading != "value"]
    for series in sorted(cleaning, key=lambda one: -one.in_overall):
        lines = source.lines[series.protocol, series.version]
        if lines and series.floor:
            floor = view.floor[series.floor]
            yield WayIn(
                Link(floor_in_words(floor), urls.floor_url(floor.floor)),
                Link(series.title, urls.standing_url(series)),
                lines[0],
            )


def _kinds(view: View) -> tuple[Choice, ...]:
    words = {machine.kind: kind_name(machine.kind) for machine in view.machines}
    return tuple(Choice(kind, words[kind]) for kind in sorted(words, key=words.__getitem__))


def _ticket(view: View, days: Sequence[date]) -> tuple[Entry, ...]:
    entries = (
        Entry(say("Machines"), _whole(len(view.machines)), urls.MACHINES),
        Entry(say("Set-ups of them"), _whole(len(view.setups))),
        Entry(say("Protocols"), _whole(len(view.current_series)), urls.METHODS),
        Entry(say("Bench days"), _whole(len(days))),
        Entry(say("Latest bench day"), figures.day(days[-1]) if days else ""),
    )
    return tuple(entry for entry in entries if entry.text)


def _whole(number: int) -> str:
    return figures.plain(f"{number:,}")


def series_ticket(source: SiteSource, series: typed.Protocol) -> SeriesTicket:
    """The head of one standing."""
    lines = source.lines[(series.protocol, series.version)]
    shown = tuple(line for line in lines if line.place_key <= source.view.settings.top_n)
    return SeriesTicket(
        title=series.title,
        url=urls.standing_url(series),
        floor=floor_link(source.view, series),
        unit=series.unit,
        better=verdicts.better_way(series.better),
        lines=shown,
        usual=usual_label([line.name.label for line in lines]),
        rest=_rest(lines, shown, source.view.settings.top_n),
    )


def _rest(lines: Sequence[StandingLine], shown: Sequence[StandingLine], top_n: int) -> str:
    """How many of the set-ups below the cut could still be in it."""
    below = [line for line in lines if line not in shown]
    possible = sum(line.top.shape == "perhaps" for line in below)
    if not below:
        return ""
    cut = verdicts.cut_words(top_n)
    setups = figures.count(len(below), "more set-up", "more set-ups")
    if not possible:
        # For translators: {setups} is such as "5 more set-ups", {cut} such as "the top 3".
        return say("{setups}, none of them in reach of {cut}.", setups=setups, cut=cut)
    # For translators: {setups} is such as "5 more set-ups", {cut} such as "the top 3".
    return say(
        "{setups}, {possible} of them not ruled out of {cut}.",
        setups=setups,
        possible=possible,
        cut=cut,
    )


def _latest_days(view: View) -> tuple[BenchDay, ...]:
    run = [run for run in view.runs if run.status != "planned"]
    by_day = grouped(run, lambda row: (row.day_date, row.day))
    latest = sorted(by_day, reverse=True)[:LATEST_DAYS]
    return tuple(_bench_day(view, by_day[day]) for day in latest)


def _bench_day(view: View, runs: Sequence[typed.Run]) -> BenchDay:
    keys = {(run.protocol, run.series_version) for run in runs}
    machines = dict.fromkeys(view.names.machines[view.setup[run.setup].machine] for run in runs)
    return BenchDay(
        day=figures.day(runs[0].day_date),
        runs=figures.count(len(runs), "run", "runs"),
        series=tuple(
            Link(series.name.full, urls.standing_url(series))
            for key, series in view.series.items()
            if key in keys
        ),
        machines=figures.count(len(machines), "machine", "machines"),
    )


def _newest_machines(view: View) -> tuple[NewMachine, ...]:
    met = [(m.first_day, view.names.machines[m.machine], m) for m in view.machines if m.first_day]
    met.sort(key=lambda item: item[1])
    met.sort(key=lambda item: item[0], reverse=True)
    return tuple(
        NewMachine(
            machine=Link(name, urls.machine_url(machine.machine)),
            kind=kind_name(machine.kind),
            first_day=figures.day(first_day),
        )
        for first_day, name, machine in met[:NEWEST_MACHINES]
    )
