"""The form of a control chart, before any run is in it.

In:  nothing but the layouts below.
Out: Vega-Lite, wide and narrow, for the data sets ``rows`` and ``dates``.

Two panels share the days: above the mean of every day as a circle between its limits, below the
moving average as a line between narrower ones. What is out of line is a cross in a square. Dates
are written by the chart itself, as Vega writes them in English alone.
"""

from __future__ import annotations

import altair as alt

from trialpress.charts.chart import Json
from trialpress.charts.form import place_of
from trialpress.charts.forms.style import (
    COLOURS,
    DOT_SIZE,
    LINE_WIDTH,
    SIGNALS,
    SMALL_TEXT_SIZE,
    encoded,
    finished,
    rows,
    value_axis,
)
from trialpress.charts.stills.drift import DATE_GAP, GAP, NARROW, WIDE, DriftLayout
from trialpress.charts.theme import HAIRLINE

SQUARED_CROSS = "M-1,-1H1V1H-1V-1M-1,-1L1,1M-1,1L1,-1"
CROSS_SIZE = 60
LIMIT_DASH = [8, 4]


def drift_form(*, narrow: bool) -> dict[str, Json]:
    """The form of all control charts, in Vega-Lite; its words are ``days`` and ``average``."""
    layout = NARROW if narrow else WIDE
    panels = alt.vconcat(
        _panel(layout, layout.days_height, place_of("days"), *_days()),
        _panel(
            layout,
            layout.average_height,
            place_of("average"),
            *_averages(),
            _dates(layout.average_height + DATE_GAP),
        ),
        spacing=GAP,
    )
    return finished(panels, SIGNALS)


def _panel(layout: DriftLayout, height: int, heading: str, *layers: alt.Chart) -> alt.LayerChart:
    return alt.LayerChart(layer=list(layers)).properties(
        width=layout.width, height=height, title=alt.TitleParams(text=heading)
    )


def _days() -> tuple[alt.Chart, ...]:
    return (
        _date_lines(),
        *(_limit(end) for end in ("lower", "upper")),
        _centre(),
        _path("value", COLOURS.rule, 1),
        _circles(is_flagged=False),
        _circles(is_flagged=True),
    )


def _averages() -> tuple[alt.Chart, ...]:
    return (
        _date_lines(),
        *(_limit(end) for end in ("average_lower", "average_upper")),
        _centre(),
        _path("moving_average", COLOURS.ink, LINE_WIDTH),
        _crosses("moving_average", "datum.average_is_out"),
    )


def _limit(field: str) -> alt.Chart:
    return _path(field, COLOURS.ink, 1.4, dash=LIMIT_DASH)


def _centre() -> alt.Chart:
    return _path("centre", COLOURS.muted, HAIRLINE)


def _path(field: str, colour: str, width: float, dash: list[int] | None = None) -> alt.Chart:
    mark = rows().transform_filter(f"isValid(datum.{field})")
    line = mark.mark_line(color=colour, strokeWidth=width, strokeDash=dash or [1, 0])
    return encoded(line, x=_position(), y=_value(field))


def _circles(*, is_flagged: bool) -> alt.Chart:
    """A day; open while it belongs to the baseline that the limits come from."""
    if is_flagged:
        return _crosses("value", "datum.is_out")
    mark = rows().transform_filter("!datum.is_out")
    inside = alt.condition("datum.is_baseline", alt.value(COLOURS.paper), alt.value(COLOURS.ink))
    dots = mark.mark_point(size=DOT_SIZE, strokeWidth=1.6, opacity=1, stroke=COLOURS.ink)
    return encoded(dots, x=_position(), y=_value("value"), fill=inside)


def _crosses(field: str, test: str) -> alt.Chart:
    mark = rows().transform_filter(f"isValid(datum.{field}) && {test}")
    crosses = mark.mark_point(
        shape=SQUARED_CROSS, size=CROSS_SIZE, strokeWidth=1.6, opacity=1, stroke=COLOURS.doubt
    )
    return encoded(crosses, x=_position(), y=_value(field), fill=alt.value(COLOURS.paper))


def _date_lines() -> alt.Chart:
    mark = alt.Chart(alt.NamedData(name="dates")).mark_rule(strokeWidth=HAIRLINE)
    return encoded(mark, x=_position(), color=alt.value(COLOURS.rule))


def _dates(y: int) -> alt.Chart:
    """The dates below the lower panel."""
    mark = alt.Chart(alt.NamedData(name="dates")).mark_text(fontSize=SMALL_TEXT_SIZE)
    return encoded(
        mark, x=_position(), y=alt.value(y), text="words:N", color=alt.value(COLOURS.muted)
    )


def _position() -> alt.X:
    """Days since the first one."""
    scale = alt.Scale(nice=False, zero=False, padding=10)
    return alt.X("day", type="quantitative", scale=scale, axis=None)


def _value(field: str) -> alt.Y:
    scale = alt.Scale(zero=False, nice=True, padding=4)
    axis = value_axis("left")
    return alt.Y(field, type="quantitative", scale=scale, axis=axis)
