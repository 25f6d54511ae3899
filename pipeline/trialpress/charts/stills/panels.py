"""Panels of rows as a picture: two makers side by side, a row a set-up.

In:  the rows of the chart, their labels fitted.
Out: a ``Drawing``, wide or narrow.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from trialpress.charts.panels import (
    COLUMN_GAP,
    LABEL_BAND,
    MARK_BAND,
    PANEL_WIDTH,
    ROW_GAP,
    STEP,
    PanelMark,
    PanelRow,
)
from trialpress.charts.stills.axes import BELOW, figures_along, round_axis, upright_grid
from trialpress.charts.stills.facets import Panel, facets
from trialpress.charts.stills.marks import (
    BASELINE,
    Drawing,
    Word,
    across,
    dot,
    dots,
    moved,
    strokes,
    words,
)
from trialpress.charts.theme import COLOURS, DASHES, HAIRLINE
from trialpress.store import grouped

VALUE_PADDING = 10
FIGURES_ROOM = 18


def panels_still(rows: Sequence[PanelRow], *, columns: int) -> Drawing:
    """Draw a panel a series, so many side by side."""
    panels = grouped(rows, lambda row: row.heading_position)
    drawn = [_panel(panels[at]) for at in sorted(panels)]
    return facets(drawn, columns, ROW_GAP, COLUMN_GAP)


def _panel(rows: Sequence[PanelRow]) -> Panel:
    order = sorted({(row.row_position, row.row) for row in rows})
    tops = {row: STEP * number for number, (_, row) in enumerate(order)}
    height = STEP * len(order)
    ends = [end for row in rows for end in (row.value, row.low, row.high) if end is not None]
    axis = round_axis(ends, PANEL_WIDTH, VALUE_PADDING)
    means = [row for row in rows if row.kind is PanelMark.DOT and row.value is not None]
    lines = dict.fromkeys((False, True), "")
    for row in means:
        if row.low is not None and row.high is not None:
            y = tops[row.row] + STEP * MARK_BAND
            lines[row.is_dashed] += across(axis.at(row.low), y, axis.at(row.high))
    marks = (
        upright_grid(axis, height)
        + moved(figures_along(axis, BELOW), 0, height)
        + _labels(rows, tops)
        + strokes([lines[False]])
        + strokes([lines[True]], dash=DASHES)
        + dots(
            dot(
                axis.at(row.value or 0.0),
                tops[row.row] + STEP * MARK_BAND,
                COLOURS.paper if row.is_open else COLOURS.ink,
                is_square=row.is_second,
            )
            for row in means
        )
        + strokes(
            (across(0.5, top + STEP + 0.5, PANEL_WIDTH + 0.5) for top in tops.values()),
            COLOURS.rule,
            HAIRLINE,
        )
    )
    return Panel(rows[0].heading, PANEL_WIDTH, height, marks, bottom=FIGURES_ROOM)


def _labels(rows: Sequence[PanelRow], tops: Mapping[str, float]) -> str:
    return words(
        Word(0, tops[row.row] + STEP * LABEL_BAND + BASELINE, row.label)
        for row in rows
        if row.label
    )
