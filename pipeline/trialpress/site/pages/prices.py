"""Results against prices: one page a current series, and one for the overall that leads to them.

In:  the rows of ``value_front``, their sentences and charts.
Out: ``PricePage``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from trialpress.analyses.records import ValueRow
from trialpress.charts import Chart
from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.source import SiteSource
from trialpress.site.urls import SetupLink
from trialpress.view import SeriesKey, verdicts
from trialpress.view.terms import why_words
from trialpress.view.verdicts import Verdict
from trialpress.words import figures, message, say

OVERALL: SeriesKey = ("overall", 0)
DESCRIPTION = message(
    "Results of set-ups as unboxed against the price of their machine, and which of them nobody "
    "beats at that price."
)


@dataclass(frozen=True)
class PricedRow:
    """A set-up as unboxed with its machine's price; ``*_key`` are what a column is sorted by.

    Without a comparable price ``verdict`` is None and ``why`` says why.
    """

    name: SetupLink
    value: str
    value_key: str
    interval: str
    price: str
    price_key: str
    priced_on: str
    is_old: bool
    verdict: Verdict | None
    beaten_by: str
    why: str | None


@dataclass(frozen=True)
class PricePage:
    """Everything the page of results against prices shows; ``others`` lead to its sisters.

    ``order`` is which way the means run, as ``aria-sort`` says it.
    """

    template: ClassVar[str] = "pages/prices.html"
    frame: Frame
    unbeaten: str
    summary: str
    results: Link
    unit: str
    order: str
    others: tuple[Link, ...]
    chart: Chart | None
    rows: tuple[PricedRow, ...]
    sentences: tuple[str, ...]


def price_pages(source: SiteSource) -> Iterator[PricePage]:
    """The page of the overall, and that of every current series with results."""
    yield _page(source, OVERALL)
    for series in source.view.current_series:
        key = (series.protocol, series.version)
        if key in source.view.analysed.values:
            yield _page(source, key)


def price_link(source: SiteSource, key: SeriesKey) -> Link | None:
    """Where the results of a series are held against prices; None where they are not."""
    series = source.view.series.get(key)
    if series is None or not series.is_current or key not in source.view.analysed.values:
        return None
    return Link(series.title, urls.prices_url(series))


def _page(source: SiteSource, key: SeriesKey) -> PricePage:
    view, link = source.view, price_link(source, key)
    rows = source.view.analysed.values.get(key, ())
    results = Link(say("Overall"), urls.OVERALL)
    if link is not None:
        results = Link(link.words, urls.standing_url(view.series[key]))
    return PricePage(
        frame=frame_of(
            view.settings,
            link.url if link else urls.PRICES,
            # For translators: {results} is the title of a protocol, or "Overall".
            say("Results against prices: {results}", results=results.words),
            say(DESCRIPTION),
            under=urls.QUESTIONS,
        ),
        unbeaten=_unbeaten(source, rows),
        summary=source.sentences.fronts.get(key, ""),
        results=results,
        unit=rows[0].unit if rows else "",
        order="ascending" if link and view.series[key].better == "lower" else "descending",
        others=_others(source, key),
        chart=source.charts.values.get(key),
        rows=tuple(_row(source, row) for row in rows),
        sentences=tuple(source.sentences.values[row.setup, key] for row in rows),
    )


def _unbeaten(source: SiteSource, rows: Sequence[ValueRow]) -> str:
    """Who is shown to be unbeaten at their price, the cheapest first; blank where nobody is."""
    shown = [row for row in rows if row.front == "certain" and row.price is not None]
    shown.sort(key=lambda row: row.price or 0.0)
    if not shown:
        return ""
    names = [
        f"{source.view.names.setups[row.setup].full} "
        f"({figures.money(row.price or 0.0, row.currency or '')})"
        for row in shown
    ]
    return say("Shown to be unbeaten at the price: {setups}.", setups=figures.listing(names))


def _others(source: SiteSource, key: SeriesKey) -> tuple[Link, ...]:
    links = [] if key == OVERALL else [Link(say("Overall"), urls.PRICES)]
    links += [link for one in source.view.series if (link := price_link(source, one))]
    here = price_link(source, key)
    return tuple(link for link in links if link != here)


def _row(source: SiteSource, row: ValueRow) -> PricedRow:
    has_interval = row.low is not None and row.high is not None
    return PricedRow(
        name=urls.setup_link(source.view, row.setup),
        value=figures.number(row.mean, row.decimals),
        value_key=f"{row.mean:.{row.decimals}f}",
        interval=figures.interval(row.low or 0.0, row.high or 0.0, row.decimals)
        if has_interval
        else say("no interval"),
        price="" if row.price is None else figures.money(row.price, row.currency or ""),
        price_key="" if row.price is None or row.front is None else f"{row.price:.2f}",
        priced_on=figures.day(row.priced_on) if row.priced_on else "",
        is_old=bool(row.is_price_old),
        verdict=verdicts.front(row.front) if row.front else None,
        beaten_by=_beaten_by(source, row),
        why=why_words(row.why, currency=row.currency) if row.why else None,
    )


def _beaten_by(source: SiteSource, row: ValueRow) -> str:
    """Who is better and costs no more: the first of them, and how many others."""
    if row.beaten_by is None:
        return ""
    first, more = source.view.names.setups[row.beaten_by].full, (row.beaten_by_count or 1) - 1
    if not more:
        # For translators: after "beaten".
        return say("by {setup}", setup=first)
    # For translators: after "beaten"; {others} is such as "2 others".
    return say(
        "by {setup} and {others}", setup=first, others=figures.count(more, "other", "others")
    )
