"""One chart alone, without the site around it, to be shown inside other sites.

In:  the pages of the site that have charts, and the numbers behind them.
Out: ``EmbedPage``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from trialpress.charts import Chart, Strips
from trialpress.site import urls, wording
from trialpress.site.embedding import embed_of, preview_of
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.bench_watch import BenchWatchPage, WatchedSeries
from trialpress.site.pages.claims import ClaimsPage
from trialpress.site.pages.factors import FactorsPage
from trialpress.site.pages.lines import StandingLine
from trialpress.site.pages.maker_pair import MakerPairPage
from trialpress.site.pages.overall import OverallPage
from trialpress.site.pages.prices import PricePage
from trialpress.site.source import SiteSource
from trialpress.site.templates import Page, of_kind
from trialpress.words import figures, say, say_as


@dataclass(frozen=True)
class Numbers:
    """The numbers of a chart as a small table; the first cell of a row names it."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class EmbedPage:
    """Everything the small page of one chart shows."""

    template: ClassVar[str] = "pages/embed.html"
    frame: Frame
    chart: Chart | Strips
    back: Link
    numbers: Numbers


def embed_pages(source: SiteSource, pages: Sequence[Page]) -> Iterator[EmbedPage]:
    """The small pages of all charts that stand on the pages given."""
    yield from _standings(source)
    for overall in of_kind(pages, OverallPage):
        if overall.chart:
            back = Link(say("Overall"), urls.OVERALL)
            yield _page(source, overall.chart, back, _overall_numbers(source, overall))
    yield from _machines_and_makers(source)
    for page in of_kind(pages, BenchWatchPage):
        for watched in page.series:
            back = Link(say("Bench watch"), f"{urls.WATCH}#{watched.chart.name}")
            yield _page(source, watched.chart, back, _watched_numbers(watched))
    yield from _analyses(source, pages)
    for pair in of_kind(pages, MakerPairPage):
        if pair.pair_chart:
            yield _page(source, pair.pair_chart, _back(pair.frame), _pair_numbers(pair))


def _page(source: SiteSource, chart: Chart | Strips, back: Link, numbers: Numbers) -> EmbedPage:
    settings = source.view.settings
    frame = frame_of(settings, urls.embed_url(chart.name), chart.title, chart.description)
    page = back.url.partition("#")[0]
    is_pictured = chart in (source.charts.overall, *source.charts.standings.values())
    return EmbedPage(
        replace(
            frame,
            canonical=settings.base_url + page,
            embed=embed_of(settings, chart),
            preview=preview_of(settings, page, back.words) if is_pictured else frame.preview,
        ),
        chart,
        back,
        numbers,
    )


def _standings(source: SiteSource) -> Iterator[EmbedPage]:
    for key, chart in source.charts.standings.items():
        series, lines = source.view.series[key], source.lines[key]
        numbers = Numbers(
            (*_places(), say("Mean, {unit}", unit=series.unit), _interval(source)),
            tuple(
                (
                    line.name.full,
                    line.place,
                    "; ".join((line.places, *line.marks)),
                    line.value,
                    line.interval or say("unknown"),
                )
                for line in lines
            ),
        )
        back = Link(series.title, urls.standing_url(series))
        yield _page(source, chart, back, numbers)


def _overall_numbers(source: SiteSource, page: OverallPage) -> Numbers:
    return Numbers(
        (*_places(), say("Mean of all series, {unit}", unit=page.unit), _interval(source)),
        tuple(
            (
                row.name.full,
                row.place,
                "; ".join((row.places, *row.marks)),
                row.value,
                row.interval or say("unknown"),
            )
            for row in page.rows
        ),
    )


def _machines_and_makers(source: SiteSource) -> Iterator[EmbedPage]:
    view = source.view
    for machine, chart in source.charts.machines.items():
        back = Link(view.names.machines[machine], urls.machine_url(machine))
        yield _page(source, chart, back, _set_up_numbers(source, {machine}))
    for maker, chart in source.charts.makers.items():
        machines = {row.machine for row in view.machines_of[maker]}
        back = Link(view.maker[maker].name, urls.maker_url(maker))
        yield _page(source, chart, back, _set_up_numbers(source, machines))


def _set_up_numbers(source: SiteSource, machines: set[str]) -> Numbers:
    """The standings of the set-ups of some machines."""
    setup = source.view.setup
    return Numbers(
        (say("Set-up"), _on(), say("Place"), say("Mean"), _interval(source), say("Runs")),
        tuple(
            _set_up_row(line)
            for lines in source.lines.values()
            for line in lines
            if setup[line.name.setup].machine in machines
        ),
    )


def _set_up_row(line: StandingLine) -> tuple[str, ...]:
    return (
        line.name.full,
        line.series_title,
        wording.share(line.place_key, line.ranked),
        figures.with_unit(line.value, line.unit),
        line.interval or say("unknown"),
        "; ".join((str(line.runs_key), *line.marks)),
    )


def _watched_numbers(watched: WatchedSeries) -> Numbers:
    return Numbers(
        (
            say("Day"),
            say("Mean, {unit}", unit=watched.unit),
            say("Moving average"),
            say("Out of line"),
        ),
        tuple(
            (day.day, day.value, day.average, "; ".join(day.flags) or say("no"))
            for day in watched.days
        ),
    )


def _analyses(source: SiteSource, pages: Sequence[Page]) -> Iterator[EmbedPage]:
    """Results against prices, against claims, with what machines are."""
    for priced in of_kind(pages, PricePage):
        if priced.chart:
            yield _page(source, priced.chart, _back(priced.frame), _priced_numbers(priced))
    for claimed in of_kind(pages, ClaimsPage):
        for one in claimed.charts:
            yield _page(source, one.chart, _back(claimed.frame), _claimed_numbers(claimed))
    for factors in of_kind(pages, FactorsPage):
        if factors.chart:
            yield _page(source, factors.chart, _back(factors.frame), _factor_numbers(factors))


def _back(frame: Frame) -> Link:
    return Link(frame.title, frame.url)


def _priced_numbers(page: PricePage) -> Numbers:
    return Numbers(
        (
            say("Set-up"),
            say("Mean, {unit}", unit=page.unit),
            say("Interval"),
            say("Price"),
            # For translators: the day a price was noted on.
            say("Noted on"),
            # For translators: whether anybody is better at its price, such as "unbeaten".
            say("At its price"),
        ),
        tuple(
            (row.name.full, row.value, row.interval, row.price, row.priced_on, row.verdict.words)
            for row in page.rows
            if row.verdict
        ),
    )


def _claimed_numbers(page: ClaimsPage) -> Numbers:
    return Numbers(
        (
            say("Machine"),
            say("As stated"),
            say("In {unit}", unit=page.unit),
            say("Source"),
            # For translators: the day a figure was stated on.
            say("Stated on"),
        ),
        tuple(
            (row.machine.words, row.stated, row.in_one_unit, row.source, row.stated_on)
            for row in page.rows
        ),
    )


def _pair_numbers(page: MakerPairPage) -> Numbers:
    return Numbers(
        (_on(), say("Maker"), *page.headings),
        tuple((row.series.words, row.maker, *row.cells) for row in page.rows),
    )


def _factor_numbers(page: FactorsPage) -> Numbers:
    return Numbers(
        (
            say("Machine"),
            say("Value, {unit}", unit=page.unit),
            say("Kind"),
            say("Head"),
            say("Mop"),
            say("Price"),
            say("Released"),
        ),
        tuple(
            (row.name.words, row.value, row.kind, row.head, row.mop, row.price, row.released)
            for row in page.machines
        ),
    )


def _interval(source: SiteSource) -> str:
    confidence = figures.percent(source.view.settings.confidence)
    return say("{confidence} interval", confidence=confidence)


def _places() -> tuple[str, str, str]:
    """The first headings of a standing."""
    # For translators: over the places that the runs cannot rule out.
    could_be = say("Could be")
    return say("Set-up"), say("Place"), could_be


def _on() -> str:
    return say_as("column of protocols and floors", "On")
