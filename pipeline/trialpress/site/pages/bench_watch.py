"""The bench watched by its reference set-up, to see whether it still is what it was.

In:  ``drift`` and the control charts drawn from it.
Out: ``BenchWatchPage``; days out of line lead to every run that carries the flag.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import ClassVar

from trialpress.charts import Chart
from trialpress.results.alarms import average_run_length
from trialpress.results.change_point import STEP_LEVEL
from trialpress.results.control_chart import FULL_BASELINE
from trialpress.site import urls
from trialpress.site.embedding import Embed, embed_of
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.parameters import floor_link
from trialpress.site.source import SiteSource
from trialpress.view import View, results, terms, typed, verdicts
from trialpress.view.sentences import watch as sentences
from trialpress.words import figures, say


@dataclass(frozen=True)
class WatchedDay:
    """One day of the reference. ``flags`` mark it; ``notices`` only ask for a look."""

    day: str
    runs: tuple[Link, ...]
    value: str
    average: str
    flags: tuple[str, ...]
    notices: tuple[str, ...]


@dataclass(frozen=True)
class WatchedSeries:
    """One control chart: a series, a reference set-up, a floor.

    ``limits`` says what they come from, ``sees`` what the chart can see and how often it errs,
    ``step`` what was found of a step among the days that the limits come from.
    """

    title: str
    standing: Link
    reference: Link
    floor: Link
    unit: str
    limits: tuple[str, ...]
    sees: str
    step: str
    is_step_clear: bool
    chart: Chart
    embed: Embed
    days: tuple[WatchedDay, ...]


@dataclass(frozen=True)
class FlaggedDay:
    """A day out of line in one series: what was seen, and every run that carries the flag."""

    day: str
    series: str
    signals: tuple[str, ...]
    runs: tuple[Link, ...]


@dataclass(frozen=True)
class BenchWatchPage:
    """Everything the page of the control charts shows."""

    template: ClassVar[str] = "pages/bench_watch.html"
    frame: Frame
    run_length: str
    step_level: str
    summary: str
    flagged: tuple[FlaggedDay, ...]
    series: tuple[WatchedSeries, ...]


def bench_watch_page(source: SiteSource) -> BenchWatchPage:
    """The page of the control charts."""
    view = source.view
    charts = [list(runs) for _, runs in groupby(view.drift, key=lambda run: run.key)]
    days = [next(iter(runs)) for _, runs in groupby(view.drift, key=_chart_day)]
    flagged = [day for day in days if day.flags]
    return BenchWatchPage(
        frame=frame_of(
            view.settings,
            urls.WATCH,
            say("Bench watch"),
            say(
                "One machine is run again and again to watch the bench itself: its control charts, "
                "their limits, and every day out of line."
            ),
            under=urls.METHODS,
        ),
        run_length=figures.number(average_run_length(0.0), 0),
        step_level=figures.percent(STEP_LEVEL),
        summary=_summary(len(charts), len(view.drift), days),
        flagged=tuple(_flagged_day(view, day) for day in flagged),
        series=tuple(
            _series(source, runs) for runs in charts if runs[0].key in source.charts.drift
        ),
    )


def _chart_day(run: results.DriftRun) -> tuple[object, ...]:
    return (*run.key, run.day_position)


def _summary(charts: int, runs: int, days: Sequence[results.DriftRun]) -> str:
    """What all charts show; ``days`` has one run of each day of each chart."""
    if not charts:
        return say("No reference set-up has been run yet: nothing watches this bench.")
    seen = [_out_of_line(len({day.day_date for day in days if day.flags}))]
    notices = sum(bool(day.notices) for day in days)
    if notices:
        seen.append(say("{days} with a notice", days=figures.count(notices, "day", "days")))
    # For translators: {seen} is such as "2 days out of line; 1 day with a notice".
    return say(
        "{charts}, {runs}: {seen}.",
        charts=figures.count(charts, "control chart", "control charts"),
        runs=figures.count(runs, "reference run", "reference runs"),
        seen="; ".join(seen),
    )


def _out_of_line(days: int) -> str:
    if not days:
        return say("no day out of line")
    return say("{days} out of line", days=figures.count(days, "day", "days"))


def _series(source: SiteSource, runs: Sequence[results.DriftRun]) -> WatchedSeries:
    view, first = source.view, runs[0]
    series = view.series[(first.protocol, first.version)]
    machine = view.setup[first.setup].machine
    chart, watched = source.charts.drift[first.key], view.drift_chart[first.key]
    return WatchedSeries(
        title=series.name.full,
        standing=Link(say("Its standing"), urls.standing_url(series)),
        reference=Link(view.names.setups[first.setup].full, urls.machine_url(machine)),
        floor=floor_link(view, series),
        unit=series.unit,
        limits=_limits(max(runs, key=lambda run: run.day_position), series),
        sees=sentences.what_it_sees(watched, series.unit),
        step=sentences.step_in_baseline(watched, series.unit),
        is_step_clear=sentences.is_step_clear(watched),
        chart=chart,
        embed=embed_of(view.settings, chart),
        days=tuple(
            _day(view, list(of_day))
            for _, of_day in groupby(
                sorted(runs, key=lambda run: run.day_position), key=lambda run: run.day_position
            )
        ),
    )


def _limits(run: results.DriftRun, series: typed.Protocol) -> tuple[str, ...]:
    """What the limits of one chart are at its latest day, and what they come from."""
    if run.baseline is None or run.centre is None or run.lower is None or run.upper is None:
        return (
            say("Too few days for limits, or days that do not differ at all: nothing is flagged."),
        )
    limits = say(
        "Centre {centre}, limits of the latest day {limits}, from the first {days}.",
        centre=figures.with_unit(figures.number(run.centre, run.decimals), series.unit),
        limits=figures.interval(run.lower, run.upper, run.decimals),
        days=figures.count(run.baseline, "day", "days"),
    )
    if run.baseline >= FULL_BASELINE:
        return (limits,)
    short = say(
        "That is a short baseline: until there are {days}, limits move with each new day, and only "
        "a large change is seen.",
        days=figures.count(FULL_BASELINE, "day", "days"),
    )
    return limits, short


def _day(view: View, runs: Sequence[results.DriftRun]) -> WatchedDay:
    first, average = runs[0], runs[0].moving_average
    machine = view.setup[first.setup].machine
    return WatchedDay(
        day=figures.day(first.day_date),
        runs=tuple(
            Link(figures.number(run.value, run.decimals), urls.run_url(machine, run.run))
            for run in runs
        ),
        value=figures.number(first.day_value, first.decimals),
        average="" if average is None else figures.number(average, first.decimals),
        flags=verdicts.signal_words(first.flags),
        notices=verdicts.signal_words(first.notices),
    )


def _flagged_day(view: View, flagged: results.DriftRun) -> FlaggedDay:
    """All runs of the series on that day that carry the flag, the reference's own first."""
    key = (flagged.protocol, flagged.version)
    there = [
        run
        for run in view.runs
        if (run.protocol, run.series_version) == key
        and run.day_date == flagged.day_date
        and run.run in view.run_result
        and terms.BENCH_DRIFT in terms.codes(view.run_result[run.run].flags)
    ]
    there.sort(key=lambda run: run.setup != flagged.setup)
    return FlaggedDay(
        day=figures.day(flagged.day_date),
        series=view.series[key].name.full,
        signals=verdicts.signal_words(flagged.flags),
        runs=tuple(
            Link(
                view.names.setups[run.setup].full,
                urls.run_url(view.setup[run.setup].machine, run.run),
            )
            for run in there
        ),
    )
