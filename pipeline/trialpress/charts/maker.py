"""One maker in the field: a panel a series, a row for each of its set-ups, one for all others.

In:  the view and the maker's slug.
Out: one chart.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from trialpress.charts import wording
from trialpress.charts.panels import PanelMark, PanelRow, draw_panels, panel_heading, set_up_rows
from trialpress.charts.picture import ChartWords, Draft
from trialpress.charts.reading import mean_reading
from trialpress.view import Names, View
from trialpress.view.results import Standing
from trialpress.view.typed import Protocol
from trialpress.words import say

FIELD_ROW = ""  # no set-up has an empty slug
LAST = 1_000_000


def draw_maker(view: View, maker: str) -> Draft:
    """A maker's set-ups in every series they were run in, above the means of all others."""
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
    )
    return Draft(words, wide=draw_panels(rows, narrow=False), narrow=draw_panels(rows, narrow=True))


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
    others = [standing for standing in standings if standing.maker != maker]
    if others:
        yield from _field(heading, position, others, view.names, series.unit)


def _field(
    heading: str, position: int, others: Sequence[Standing], names: Names, unit: str
) -> Iterator[PanelRow]:
    """All other set-ups of one series, in one row below the maker's own."""
    label = PanelRow(
        heading=heading,
        heading_position=position,
        kind=PanelMark.LABEL,
        row=FIELD_ROW,
        row_position=LAST,
        setup=None,
        label=say(wording.REST_OF_FIELD),
    )
    yield label
    for standing in others:
        yield replace(
            label,
            kind=PanelMark.FIELD,
            setup=standing.setup,
            label=None,
            value=standing.mean,
            reading=mean_reading(names.setups[standing.setup].full, standing, unit),
        )
