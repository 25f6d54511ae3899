"""Two makers side by side: a panel a series that both were tried in, a row for each set-up.

In:  the view.
Out: one chart of a pair to begin with, and the rows that a page draws any other pair from; no order
     between the makers is drawn or told.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, replace
from functools import partial
from itertools import combinations

from trialpress.charts import wording
from trialpress.charts.chart import Chart, Json, PairCharts
from trialpress.charts.panels import (
    PanelMark,
    PanelRow,
    draw_panels,
    fitted_row,
    panel_heading,
    set_up_rows,
)
from trialpress.charts.picture import ChartWords, charted
from trialpress.charts.stills import panels_still
from trialpress.view import Deferred, View
from trialpress.view.results import Standing
from trialpress.words import say

NAME = "maker-pair"
Panels = Mapping[int, Sequence[PanelRow]]


def draw_maker_pairs(view: View) -> PairCharts | None:
    """The two makers that share the most series, and the rows of every maker; None without two."""
    names = {row.maker: view.names.makers[row.maker] for row in view.standings}
    makers = sorted(names, key=lambda maker: (names[maker].casefold(), maker))
    tried = {maker: {row.key for row in view.standings if row.maker == maker} for maker in makers}
    pairs = list(combinations(makers, 2))
    shared = [len(tried[one] & tried[other]) for one, other in pairs]
    if not any(shared):
        return None
    pair = pairs[shared.index(max(shared))]
    return PairCharts(
        makers=pair,
        draw=partial(_draw, view, pair),
        rows=Deferred({maker: partial(_rows_of_maker, view, maker) for maker in makers}),
    )


def _rows_of_maker(view: View, maker: str) -> Mapping[str, Json]:
    panels = _panels(view, maker)
    return {str(position): [_as_json(row) for row in rows] for position, rows in panels.items()}


def _panels(view: View, maker: str) -> Panels:
    """The rows of one maker in every series it was tried in, in the order of the standings."""
    return {
        position: rows
        for position, series in enumerate(view.ranked_series)
        if (
            rows := [
                row
                for standing in view.standings_of[series.key]
                if standing.maker == maker
                for row in _rows(view, standing, (panel_heading(view, series), position))
            ]
        )
    }


def _rows(view: View, standing: Standing, panel: tuple[str, int]) -> Iterator[PanelRow]:
    heading, position = panel
    label = PanelRow(
        heading=heading,
        heading_position=position,
        kind=PanelMark.LABEL,
        row=standing.setup,
        row_position=standing.position,
        setup=standing.setup,
        label=view.names.setups[standing.setup].full,
    )
    yield from set_up_rows(label, standing, standing.unit, PanelMark.DOT)


def _both(one: Panels, other: Panels) -> list[PanelRow]:
    return [
        row
        for at in one
        if at in other
        for row in (*one[at], *(replace(row, is_second=True) for row in other[at]))
    ]


def _draw(view: View, makers: tuple[str, str]) -> Chart:
    first, second = (view.names.makers[maker] for maker in makers)
    one, other = (_panels(view, maker) for maker in makers)
    rows = _both(one, other)
    series = len({row.heading_position for row in rows})
    set_ups = len({row.row for row in rows})
    counts = {"first": first, "second": second, "series": series, "set_ups": set_ups}
    words = ChartWords(
        name=NAME,
        title=say(wording.MAKER_PAIR_TITLE, **counts),
        description=say(wording.MAKER_PAIR_DESCRIPTION, **counts),
        caption=wording.maker_pair_caption(view.settings.confidence),
    )
    fitted = [fitted_row(row) for row in rows]
    single, several = (
        (draw_panels(fitted, columns=columns), panels_still(fitted, columns=columns))
        for columns in (1, min(series, 2))
    )
    return charted(words, several, single)


def _as_json(row: PanelRow) -> Json:
    """A row as the chart's specification has it, without what it does not have."""
    return {name: value for name, value in asdict(fitted_row(row)).items() if value is not None}
