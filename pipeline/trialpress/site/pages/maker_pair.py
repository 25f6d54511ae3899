"""Two makers side by side: the page, and what its script draws any pair from.

In:  the chart of a pair to begin with, the rows of every maker, and the overview of makers.
Out: ``MakerPairPage``, and one data script for all makers. Neither maker is put before the other.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar, TypeAlias

import numpy as np

from trialpress.charts import Chart, PairCharts
from trialpress.charts.chart import Json
from trialpress.charts.wording import MAKER_PAIR_DESCRIPTION, MAKER_PAIR_TITLE
from trialpress.site import urls, wording
from trialpress.site.data_scripts import DataScript
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.source import SiteSource
from trialpress.store import grouped
from trialpress.view import SeriesKey, View, results, verdicts
from trialpress.view.comparisons import VERDICTS
from trialpress.view.verdicts import Verdict
from trialpress.words import figures, say

DATA = "makers"


@dataclass(frozen=True)
class MakerChoice:
    """One maker that can be chosen, as the first or as the second."""

    maker: str
    name: str
    is_first: bool
    is_second: bool


@dataclass(frozen=True)
class OverviewRow:
    """One maker in one series: the number tried, best, median, worst, and how many in the cut.

    ``against`` is what its set-ups are, pair by pair, against those of the other maker.
    """

    series: Link
    unit: str
    maker: str
    cells: tuple[str, ...]
    against: Verdict


@dataclass(frozen=True)
class MakerPairPage:
    """What the page shows before its script is asked for another pair."""

    template: ClassVar[str] = "pages/maker_pair.html"
    frame: Frame
    data: str
    makers: tuple[MakerChoice, ...]
    pair_chart: Chart | None
    headings: tuple[str, ...]
    rows: tuple[OverviewRow, ...]


def maker_pair_page(source: SiteSource) -> MakerPairPage:
    """The page of two makers."""
    view, pairs = source.view, source.charts.pairs
    first, second = pairs.makers if pairs else ("", "")
    makers = sorted(pairs.rows if pairs else (), key=lambda one: view.maker[one].name.casefold())
    return MakerPairPage(
        frame=frame_of(
            view.settings,
            urls.MAKER_PAIR,
            say("Two makers side by side"),
            say("Every set-up of any two makers in the series that both were tried in."),
            under=urls.MAKERS,
        ),
        data=DATA,
        makers=tuple(
            MakerChoice(one, view.maker[one].name, one == first, one == second) for one in makers
        ),
        pair_chart=pairs.chart if pairs else None,
        headings=_headings(view.settings.top_n),
        rows=tuple(_rows(source, pairs)) if pairs else (),
    )


def makers_script(source: SiteSource, pairs: PairCharts) -> DataScript:
    """Every maker: its rows in the chart, and its overview in every series."""
    series: list[Json] = [
        {
            "title": one.name.full,
            "url": urls.standing_url(one),
            "unit": one.unit,
            "makers": {maker: list(_cells(row)) for maker, row in _overviews(source, key).items()},
            "pairs": {
                maker: {
                    other: [verdicts.pairs_shape(*counts), *counts]
                    for other, counts in others.items()
                }
                for maker, others in pair_counts(source.view, key).items()
            },
        }
        for key, one in source.view.series.items()
    ]
    makers: dict[str, Json] = {
        maker: {"name": source.view.maker[maker].name, "panels": dict(panels)}
        for maker, panels in sorted(pairs.rows.items())
    }
    return DataScript(
        DATA,
        {
            "makers": makers,
            "series": series,
            "pairs": say(verdicts.PAIRS),
            "title": say(MAKER_PAIR_TITLE),
            "description": say(MAKER_PAIR_DESCRIPTION),
        },
    )


Counts: TypeAlias = tuple[int, int, int, int]
"""Pairs that are better, worse, level, and not told apart."""


def _of(relation: str) -> list[int]:
    return [number for number, verdict in enumerate(VERDICTS) if verdict.relation == relation]


def pair_counts(view: View, series: SeriesKey) -> Mapping[str, Mapping[str, Counts]]:
    """Of each maker towards each other one, how the pairs of their set-ups in one series stand.

    The verdicts are those of the pairs, all of the series looked at together; nothing is pooled.
    """
    pairs = view.comparisons(series)
    owners = [view.machine[view.setup[setup].machine].maker for setup in pairs.setups]
    makers = sorted(set(owners))
    at = np.array([makers.index(owner) for owner in owners], dtype=np.int64)
    cells = at[:, None] * len(makers) + at[None, :]
    better, worse, level, untold = (
        np.bincount(cells[np.isin(pairs.verdict, _of(relation))], minlength=len(makers) ** 2)
        for relation in ("better", "worse", "level", "cannot tell")
    )
    return {
        maker: {
            other: (int(better[i]), int(worse[i]), int(level[i]), int(untold[i]))
            for i, other in enumerate(makers, start=row * len(makers))
            if other != maker
        }
        for row, maker in enumerate(makers)
    }


def _headings(top_n: int) -> tuple[str, ...]:
    """Of the cells of an overview."""
    in_top_cut = say("In the top {n}", n=top_n)
    return say("Tried"), say("Best"), say("Median"), say("Worst"), in_top_cut


def _rows(source: SiteSource, pairs: PairCharts) -> Iterator[OverviewRow]:
    for key, series in source.view.series.items():
        overviews = _overviews(source, key)
        if not set(pairs.makers) <= set(overviews):
            continue
        counts = pair_counts(source.view, key)
        first, second = pairs.makers
        for maker, other in ((first, second), (second, first)):
            yield OverviewRow(
                series=Link(series.name.full, urls.standing_url(series)),
                unit=series.unit,
                maker=source.view.maker[maker].name,
                cells=_cells(overviews[maker]),
                against=verdicts.pairs(*counts[maker][other]),
            )


def _overviews(source: SiteSource, key: SeriesKey) -> Mapping[str, results.MakerOverview]:
    by_series = grouped(source.view.maker_overview, lambda row: (row.protocol, row.version))
    return {row.maker: row for row in by_series.get(key, ())}


def _cells(row: results.MakerOverview) -> tuple[str, ...]:
    return (
        str(row.setups),
        *(figures.number(value, row.decimals) for value in (row.best, row.median, row.worst)),
        wording.share(row.in_top_cut, row.setups),
    )
