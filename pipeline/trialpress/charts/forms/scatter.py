"""The form of panels with a dot a machine, before any machine is in them.

In:  nothing but the layouts below.
Out: Vega-Lite, wide and narrow, for the data set ``rows``.

Values go up, what they are held against goes to the right; the words ``up`` and ``across`` name
them. A dot's shape says what it is: filled, open, or a small cross.
"""

from __future__ import annotations

import altair as alt

from trialpress.charts.chart import Json
from trialpress.charts.form import place_of
from trialpress.charts.forms.style import (
    COLOURS,
    DOT_SIZE,
    INK_OR_ACCENT,
    IS_CHOSEN,
    IS_SHOWN,
    PANEL_HEADING,
    SIGNALS,
    SMALL_TEXT_SIZE,
    encoded,
    finished,
    named_axis,
)
from trialpress.charts.stills.scatter import (
    COLUMN_GAP,
    HALO,
    INTERVAL_WIDTH,
    NAME_GAP,
    NARROW_WIDTH,
    PANEL_HEIGHT,
    PANEL_WIDTH,
    ROW_GAP,
    SINGLE_HEIGHT,
    SINGLE_WIDTH,
)

SMALL_CROSS = "M-0.7,-0.7L0.7,0.7M-0.7,0.7L0.7,-0.7"
SPACING = {"row": ROW_GAP, "column": COLUMN_GAP}


def scatter_form(*, is_single: bool, narrow: bool, is_log: bool) -> dict[str, Json]:
    """The form of all scatters of one layout, in Vega-Lite."""
    layers = [
        _intervals(is_log=is_log),
        _marks("beaten", SMALL_CROSS, is_log=is_log),
        _marks("possible", "circle", is_log=is_log),
        _marks("certain", "circle", is_log=is_log),
        *(
            _names(side, colour, width, is_log=is_log)
            for side in ("left", "right")
            for colour, width in ((alt.value(COLOURS.paper), HALO), (alt.value("transparent"), 0))
        ),
    ]
    width = SINGLE_WIDTH if is_single else PANEL_WIDTH
    panel = alt.LayerChart(layer=layers, data=alt.NamedData(name="rows")).properties(
        width=NARROW_WIDTH if narrow else width,
        height=SINGLE_HEIGHT if is_single else PANEL_HEIGHT,
    )
    columns = 1 if narrow or is_single else 2
    panels = panel.facet(PANEL_HEADING, columns=columns, spacing=SPACING).transform_filter(IS_SHOWN)
    apart = panels.resolve_scale(x="independent", y="independent")
    ticks: dict[str, Json] = {"ticks": [1]} if is_log else {}
    return finished(apart, {**SIGNALS, **ticks})


def _intervals(*, is_log: bool) -> alt.Chart:
    mark = alt.Chart().transform_filter("isValid(datum.low)").mark_rule(strokeWidth=INTERVAL_WIDTH)
    quiet = alt.condition(IS_CHOSEN, alt.value(COLOURS.accent), alt.value(COLOURS.rule))
    return encoded(mark, x=_across(is_log=is_log), y=_up("low"), y2="high", color=quiet)


def _marks(kind: str, shape: str, *, is_log: bool) -> alt.Chart:
    """Filled where it is certain, open where it is possible."""
    mark = alt.Chart().transform_filter(f"datum.kind === '{kind}'")
    inside = INK_OR_ACCENT if kind == "certain" else alt.value(COLOURS.paper)
    drawn = mark.mark_point(shape=shape, size=DOT_SIZE, strokeWidth=1.6, opacity=1)
    return encoded(
        drawn, x=_across(is_log=is_log), y=_up("value"), stroke=INK_OR_ACCENT, fill=inside
    )


def _names(side: str, halo: alt.Value, width: int, *, is_log: bool) -> alt.Chart:
    """The names of the few that matter, to the right of their marks or, near the edge, left.

    Under each there is a halo, so that it can be read over other marks.
    """
    named = alt.Chart().transform_filter(f"datum.named === '{side}'")
    text = named.mark_text(
        align="left" if side == "right" else "right",
        dx=NAME_GAP if side == "right" else -NAME_GAP,
        fontSize=SMALL_TEXT_SIZE,
        strokeWidth=width,
    )
    return encoded(
        text,
        x=_across(is_log=is_log),
        y=_up("value"),
        text="name:N",
        color=INK_OR_ACCENT,
        stroke=halo,
    )


def _across(*, is_log: bool) -> alt.X:
    axis = named_axis("bottom", place_of("across"))
    if not is_log:
        scale = alt.Scale(zero=False, nice=True, padding=10)
        return alt.X("against", type="quantitative", scale=scale, axis=axis)
    axis.values = {"expr": "ticks"}
    scale = alt.Scale(type="log", nice=False, padding=14)
    return alt.X("against", type="quantitative", scale=scale, axis=axis)


def _up(field: str) -> alt.Y:
    scale = alt.Scale(zero=False, nice=True, padding=8)
    return alt.Y(field, type="quantitative", scale=scale, axis=named_axis("left", place_of("up")))
