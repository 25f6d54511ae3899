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
from trialpress.site import urls
from trialpress.site.embedding import Embed, embed_of
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.material import Material
from trialpress.view import View, results, terms, typed, verdicts
from trialpress.words import figures, say

FULL_BASELINE = 20


@dataclass(frozen=True)
class WatchedRun:
    """One run of the reference. ``flags`` mark its day; ``notices`` only ask for a look."""

    run: Link
    day: str
    value: str
    average: str
    flags: tuple[str, ...]
    notices: tuple[str, ...]


@dataclass(frozen=True)
class WatchedSeries:
    """One control chart: a series, a reference set-up, a floor."""

    title: str
    standing: Link
    reference: Link
    floor: Link
    unit: str
    said: tuple[str, ...]
    chart: Chart
    embed: Embed
    runs: tuple[WatchedRun, ...]


@dataclass(frozen=True)
class FlaggedDay:
    """A day out of line in one series: what was seen, and every run that carries the flag."""

    day: str
    series: str
    said: tuple[str, ...]
    runs: tuple[Link, ...]


@dataclass(frozen=True)
class BenchWatchPage:
    """Everything the page of the control charts shows."""

    template: ClassVar[str] = "pages/bench_watch.html"
    frame: Frame
    summary: str
    flagged: tuple[FlaggedDay, ...]
    series: tuple[WatchedSeries, ...]


def bench_watch_page(material: Material) -> BenchWatchPage:
    """The page of the control charts."""
    view = material.view
    charts = [list(runs) for _, runs in groupby(view.drift, key=lambda run: run.key)]
    flagged = [run for run in view.drift if run.flags]
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
        summary=_summary(len(charts), view.drift, flagged),
        flagged=tuple(_flagged_day(view, run) for run in flagged),
        series=tuple(
            _series(material, runs) for runs in charts if runs[0].key in material.charts.drift
        ),
    )


def _summary(
    charts: int, runs: Sequence[results.DriftRun], flagged: Sequence[results.DriftRun]
) -> str:
    if not charts:
        return say("No reference set-up has been run yet: nothing watches this bench.")
    seen = [_out_of_line(len({run.day_date for run in flagged}))]
    notices = sum(bool(run.notices) for run in runs)
    if notices:
        seen.append(say("{runs} with a notice", runs=figures.count(notices, "run", "runs")))
    # For translators: {seen} is such as "2 days out of line; 1 run with a notice".
    return say(
        "{charts}, {runs}: {seen}.",
        charts=figures.count(charts, "control chart", "control charts"),
        runs=figures.count(len(runs), "reference run", "reference runs"),
        seen="; ".join(seen),
    )


def _out_of_line(days: int) -> str:
    if not days:
        return say("no day out of line")
    return say("{days} out of line", days=figures.count(days, "day", "days"))


def _series(material: Material, runs: Sequence[results.DriftRun]) -> WatchedSeries:
    view, first = material.view, runs[0]
    series = view.series[(first.protocol, first.version)]
    machine, floor = view.setup[first.setup].machine, view.floor[first.floor]
    chart = material.charts.drift[first.key]
    return WatchedSeries(
        title=series.name.full,
        standing=Link(say("Its standing"), urls.standing_url(series)),
        reference=Link(view.names.setups[first.setup].full, urls.machine_url(machine)),
        floor=Link(floor.name, urls.floor_url(floor.floor)),
        unit=series.unit,
        said=_limits(first, series),
        chart=chart,
        embed=embed_of(view.settings, chart),
        runs=tuple(_run(view, run) for run in runs),
    )


def _limits(run: results.DriftRun, series: typed.Protocol) -> tuple[str, ...]:
    """What the limits of one chart are and what they come from."""
    if run.baseline is None or run.centre is None or run.lower is None or run.upper is None:
        return (
            say("Too few runs for limits, or runs that do not differ at all: nothing is flagged."),
        )
    said = say(
        "Centre {centre}, limits {limits}, from the first {runs}.",
        centre=figures.with_unit(figures.number(run.centre, run.decimals), series.unit),
        limits=figures.interval(run.lower, run.upper, run.decimals),
        runs=figures.count(run.baseline, "run", "runs"),
    )
    if run.baseline >= FULL_BASELINE:
        return (said,)
    short = say(
        "That is a short baseline: until there are {runs}, the limits are wider, so that chance "
        "alone does not raise an alarm.",
        runs=FULL_BASELINE,
    )
    return said, short


def _run(view: View, run: results.DriftRun) -> WatchedRun:
    machine = view.setup[run.setup].machine
    average = run.moving_average
    return WatchedRun(
        run=Link(run.run, urls.run_url(machine, run.run)),
        day=figures.day(run.day_date),
        value=figures.number(run.value, run.decimals),
        average="" if average is None else figures.number(average, run.decimals),
        flags=verdicts.signal_words(run.flags),
        notices=verdicts.signal_words(run.notices),
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
    there.sort(key=lambda run: run.run != flagged.run)
    return FlaggedDay(
        day=figures.day(flagged.day_date),
        series=view.series[key].name.full,
        said=verdicts.signal_words(flagged.flags),
        runs=tuple(
            Link(
                view.names.setups[run.setup].full,
                urls.run_url(view.setup[run.setup].machine, run.run),
            )
            for run in there
        ),
    )
