"""The form of a ladder, before any set-up is in it.

In:  nothing but the layouts below.
Out: moulds, wide and narrow, for the data sets ``rows`` and ``key``.

The wide ladder has four columns: name, interval, places as a bracket, places in figures. The
narrow one gives each set-up two lines: name and figures above, interval and bracket below.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import altair as alt

from trialpress.charts import wording
from trialpress.charts.chart import Json
from trialpress.charts.mould import Mould, compile_mould
from trialpress.charts.style import (
    COLOURS,
    DASH,
    DASHED,
    GROUND,
    INK_OR_ACCENT,
    INSIDE,
    LINE_WIDTH,
    SIGNALS,
    SMALL_TEXT_SIZE,
    TEXT_SIZE,
    UPRIGHT,
    encoded,
    finished,
    row_position,
    rows,
    value_axis,
)

BRACKET_REACH = 0.4  # of a place, to either side, so that a single place is a bracket too
CAP = 160
DOT = 62
FIGURES_WIDTH = 42
GAP = 14
KEY_STROKE = 20


@dataclass(frozen=True)
class Layout:
    """Measures in pixels; bands from 0, the top of a row, to 1."""

    step: int
    name_width: int
    interval_width: int
    places_width: int
    name_band: float
    mark_band: float
    tint_band: float
    key_step_x: int
    key_step_y: int


WIDE = Layout(26, 262, 244, 164, 0.5, 0.5, 0, key_step_x=226, key_step_y=0)
NARROW = Layout(42, 244, 168, 116, 0.27, 0.73, 0.5, key_step_x=0, key_step_y=18)


@cache
def ladder_mould(*, narrow: bool) -> Mould:
    """The form of all ladders, compiled once."""
    panels = _narrow_panels(NARROW) if narrow else _wide_panels(WIDE)
    body = alt.hconcat(*panels, spacing=GAP, bounds="flush")
    key = _key_strip(NARROW if narrow else WIDE)
    signals: dict[str, Json] = {
        **SIGNALS,
        "heading": "",
        "value_low": 0,
        "value_high": 1,
        "places": 1,
        "place_ticks": [1],
        "top_n": 1,
    }
    return compile_mould(finished(alt.vconcat(key, body, spacing=GAP), signals))


def _wide_panels(layout: Layout) -> list[alt.LayerChart]:
    return [
        _panel(layout, layout.name_width, _names(layout, 0)),
        _panel(layout, layout.interval_width, *_intervals(layout), heading={"expr": "heading"}),
        _panel(layout, layout.places_width, *_places(layout), heading=wording.PLACES_HEADING),
        _panel(layout, FIGURES_WIDTH, _figures(layout, FIGURES_WIDTH)),
    ]


def _narrow_panels(layout: Layout) -> list[alt.LayerChart]:
    # Names reach across both panels, so they are drawn with the second, over the first.
    names = _names(layout, -layout.interval_width - GAP)
    places = (*_places(layout), names, _figures(layout, layout.places_width))
    return [
        _panel(layout, layout.interval_width, *_intervals(layout), heading={"expr": "heading"}),
        _panel(layout, layout.places_width, *places, heading=wording.PLACES_HEADING),
    ]


def _panel(
    layout: Layout, width: int, *layers: alt.Chart, heading: str | dict[str, str] = ""
) -> alt.LayerChart:
    """Layers over a ground that is tinted where a set-up is chosen."""
    edges = {"x": alt.value(0), "x2": alt.value(width)}
    ground = encoded(rows().mark_rect(), **edges, y=_row(0.5), fill=GROUND)
    return alt.LayerChart(layer=[ground, *layers]).properties(
        width=width, height={"step": layout.step}, title=alt.TitleParams(text=heading)
    )


def _row(band: float) -> alt.Y:
    return row_position("setup", "position", band=band)


def _names(layout: Layout, x: int) -> alt.Chart:
    mark = rows().mark_text(align="left", fontSize=TEXT_SIZE)
    return encoded(
        mark, x=alt.value(x), y=_row(layout.name_band), text="name:N", color=INK_OR_ACCENT
    )


def _figures(layout: Layout, x: int) -> alt.Chart:
    mark = rows().mark_text(align="right", fontSize=TEXT_SIZE)
    return encoded(
        mark, x=alt.value(x), y=_row(layout.name_band), text="places:N", color=INK_OR_ACCENT
    )


def _intervals(layout: Layout) -> tuple[alt.Chart, ...]:
    scale = alt.Scale(domain=[{"expr": "value_low"}, {"expr": "value_high"}], nice=False)
    axis, y = value_axis("top"), _row(layout.mark_band)
    line = rows().transform_filter("isValid(datum.low)").mark_rule(strokeWidth=LINE_WIDTH)
    dot = rows().mark_point(size=DOT, strokeWidth=LINE_WIDTH, opacity=1)
    return (
        line.encode(
            x=alt.X("low:Q", scale=scale, axis=axis),
            x2="high:Q",
            y=y,
            color=INK_OR_ACCENT,
            strokeDash=DASH,
        ),
        dot.encode(
            x=alt.X("mean:Q", scale=scale, axis=axis), y=y, stroke=INK_OR_ACCENT, fill=INSIDE
        ),
    )


def _places(layout: Layout) -> tuple[alt.Chart, ...]:
    y = _row(layout.mark_band)
    bracket = rows().transform_calculate(
        left=f"datum.place_best - {BRACKET_REACH}", right=f"datum.place_worst + {BRACKET_REACH}"
    )
    cap = bracket.mark_point(shape=UPRIGHT, size=CAP, strokeWidth=LINE_WIDTH, opacity=1)
    return (
        *_top_cut(layout),
        bracket.mark_rule(strokeWidth=LINE_WIDTH).encode(
            x=_place("left"), x2="right", y=y, color=INK_OR_ACCENT, strokeDash=DASH
        ),
        *(cap.encode(x=_place(end), y=y, stroke=INK_OR_ACCENT) for end in ("left", "right")),
    )


def _top_cut(layout: Layout) -> tuple[alt.Chart, alt.Chart]:
    """The tinted places of the top cut, and the line where it ends."""
    cut = rows().transform_calculate(start="0.5", end="top_n + 0.5")
    top, bottom = _row(layout.tint_band), alt.Y2("setup", bandPosition=1)
    return (
        cut.mark_rect(color=COLOURS.wash).encode(x=_place("start"), x2="end", y=top, y2=bottom),
        cut.mark_rule(color=COLOURS.top_cut).encode(x=_place("end"), y=top, y2=bottom),
    )


def _place(field: str) -> alt.X:
    """A place, or half of one: the axis runs from half before the first to half after the last."""
    return alt.X(
        field,
        type="quantitative",
        scale=alt.Scale(domain=[0.5, {"expr": "places + 0.5"}], nice=False),
        axis=alt.Axis(
            title=None,
            orient="top",
            values={"expr": "place_ticks"},
            format="d",
            grid=False,
            domain=False,
            ticks=False,
            labelPadding=6,
            labelFlush=False,
        ),
    )


def _key_strip(layout: Layout) -> alt.LayerChart:
    """The key, along the top or down the side, with only the marks that occur."""
    items = alt.Chart(alt.NamedData(name="key")).transform_calculate(
        left=f"datum.slot * {layout.key_step_x}",
        middle=f"datum.left + {KEY_STROKE / 2}",
        right=f"datum.left + {KEY_STROKE}",
        words_at=f"datum.left + {KEY_STROKE + 7}",
        y=f"datum.slot * {layout.key_step_y} + 8",
    )
    width = 2 * layout.key_step_x + layout.name_width
    height = 2 * layout.key_step_y + 16
    pixels = alt.Scale(domain=[0, width], nice=False), alt.Scale(domain=[height, 0], nice=False)

    def x(field: str) -> alt.X:
        return alt.X(field, type="quantitative", scale=pixels[0], axis=None)

    y = alt.Y("y:Q", scale=pixels[1], axis=None)
    ink, paper = COLOURS.ink, COLOURS.paper
    tint = items.transform_filter("datum.mark === 'cut'").mark_bar(
        color=COLOURS.wash, orient="horizontal", size=12
    )
    line = items.transform_filter("datum.mark === 'dashed'").mark_rule(
        color=ink, strokeWidth=LINE_WIDTH, strokeDash=DASHED
    )
    dot = items.transform_filter("datum.mark === 'open'").mark_point(
        size=DOT, stroke=ink, fill=paper, strokeWidth=LINE_WIDTH, opacity=1
    )
    words = items.mark_text(align="left", color=COLOURS.muted, fontSize=SMALL_TEXT_SIZE)
    layers = [
        tint.encode(x=x("left"), x2="right", y=y),
        line.encode(x=x("left"), x2="right", y=y),
        dot.encode(x=x("middle"), y=y),
        words.encode(x=x("words_at"), y=y, text="words:N"),
    ]
    return alt.LayerChart(layer=layers).properties(width=width, height=height)
