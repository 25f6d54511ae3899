"""One maker in the field: a strip a series, a row for each of its set-ups, all others behind.

In:  the view, the scale of each series, and the maker's slug.
Out: one chart of strips.
Short: the field behind is that of a machine's strips.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from trialpress.charts import wording
from trialpress.charts.chart import Strips
from trialpress.charts.machine import field_marks
from trialpress.charts.panels import PanelMark, PanelRow, panel_heading, set_up_rows
from trialpress.charts.picture import ChartWords
from trialpress.charts.strips import Scale, draw_strips
from trialpress.view import View
from trialpress.view.results import Standing
from trialpress.view.typed import Protocol


def draw_maker(view: View, maker: str, scales: Mapping[int, Scale]) -> Strips:
    """A maker's set-ups in every series they were run in, before the means of all others."""
    rows = [
        row
        for position, series in enumerate(view.ranked_series)
        for row in _panel(view, series, position, maker)
    ]
    own = [standing for standing in view.standings if standing.maker == maker]
    name = view.names.makers[maker]
    counts = len({standing.setup for standing in own}), len({row.heading for row in rows})
    words = ChartWords(
        name=f"maker-{maker}",
        title=wording.maker_title(name),
        description=wording.maker_description(name, *counts),
        caption=wording.maker_caption(view.settings.confidence),
        finding=_finding(view, own),
    )
    return draw_strips(words, rows, scales)


def _finding(view: View, own: Sequence[Standing]) -> str:
    """How many means are in which half of the field, by all places that are not ruled out."""
    ranked = {series.key: len(view.standings_of[series.key]) for series in view.ranked_series}
    better = sum(2 * row.place_worst <= ranked[row.key] for row in own)
    worse = sum(2 * row.place_best > ranked[row.key] + 1 for row in own)
    return wording.maker_finding(len(own), better, worse)


def _panel(view: View, series: Protocol, position: int, maker: str) -> Iterator[PanelRow]:
    """The rows of one series, set-ups in the order of the standings; none where none was run."""
    standings = view.standings_of[series.key]
    own = [standing for standing in standings if standing.maker == maker]
    if not own:
        return
    heading = panel_heading(view, series)
    for number, standing in enumerate(own):
        label = PanelRow(
            heading=heading,
            heading_position=position,
            kind=PanelMark.LABEL,
            row=standing.setup,
            row_position=number,
            setup=standing.setup,
            label=view.names.setups[standing.setup].of_maker,
        )
        yield from set_up_rows(label, standing, series.unit, PanelMark.DOT)
    yield field_marks(heading, position, standings, own)
