"""The form of a ladder, before any set-up is in it.

In:  the layouts of ladders.
Out: Vega-Lite, wide and narrow, for the data sets ``rows`` and ``key``.

The wide ladder has four columns: name, interval, places as a bracket, places in figures. The
narrow one gives each set-up two lines: name and figures above, interval and bracket below.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import altair as alt

from trialpress.charts.chart import Json
from trialpress.charts.form import place_of
from trialpress.charts.forms.ladder_key import key_strip
from trialpress.charts.forms.style import (
    COLOURS,
    DASH,
    DOT_SIZE,
    GROUND,
    INK_OR_ACCENT,
    INSIDE,
    LINE_WIDTH,
    SIGNALS,
    TEXT_SIZE,
    UPRIGHT,
    encoded,
    finished,
    row_position,
    rows,
    value_axis,
)
from trialpress.charts.ladder import BRACKET_REACH, FIGURES_WIDTH, GAP, NARROW, WIDE, Layout
from trialpress.charts.theme import HAIRLINE

NEAR = "near === null || (datum.row * {step} > near[0] && (datum.row - 1) * {step} < near[1])"
CAP = 160


def ladder_form(*, narrow: bool) -> dict[str, Json]:
    """The form of all ladders, in Vega-Lite; its word is ``places``."""
    panels = _narrow_panels(NARROW) if narrow else _wide_panels(WIDE)
    body = alt.hconcat(*panels, spacing=GAP, bounds="flush")
    key = key_strip((NARROW if narrow else WIDE).key_step)
    signals: dict[str, Json] = {
        **SIGNALS,
        "near": None,
        "heading": "",
        "value_low": 0,
        "value_high": 1,
        "places": 1,
        "place_ticks": [1],
        "top_n": 1,
    }
    return finished(alt.vconcat(key, body, spacing=GAP), signals)


def _wide_panels(layout: Layout) -> list[alt.LayerChart]:
    widths = (layout.name_width, layout.interval_width, layout.places_width, FIGURES_WIDTH)
    return [
        _panel(layout, layout.name_width, *_lines(layout, widths), _names(layout, 0)),
        _panel(layout, layout.interval_width, *_intervals(layout), heading={"expr": "heading"}),
        _panel(layout, layout.places_width, *_places(layout), heading=place_of("places")),
        _panel(layout, FIGURES_WIDTH, _figures(layout, FIGURES_WIDTH)),
    ]


def _narrow_panels(layout: Layout) -> list[alt.LayerChart]:
    # Names reach across both panels, so they are drawn with the second, over the first.
    names = _names(layout, -layout.interval_width - GAP)
    brackets = (*_places(layout), names, _figures(layout, layout.places_width))
    intervals = (*_lines(layout, (layout.interval_width, layout.places_width)), *_intervals(layout))
    return [
        _panel(layout, layout.interval_width, *intervals, heading={"expr": "heading"}),
        _panel(layout, layout.places_width, *brackets, heading=place_of("places")),
    ]


def _near(layout: Layout) -> alt.Chart:
    """The rows that are to be drawn: with ``near``, from and to in pixels, only those between."""
    numbered = rows().transform_window(row="row_number()", sort=[{"field": "position"}])
    near: alt.Chart = numbered.transform_filter(NEAR.format(step=layout.step))
    return near


def _panel(
    layout: Layout, width: int, *layers: alt.Chart, heading: str | dict[str, str] = ""
) -> alt.LayerChart:
    """Layers side by side with those of the other panels, a row a set-up.

    One unseen line goes through all rows, so that those not drawn keep their places.
    """
    places = encoded(rows().mark_line(color="transparent"), x=alt.value(0), y=_row(0))
    return alt.LayerChart(layer=[*layers, places]).properties(
        width=width, height={"step": layout.step}, title=alt.TitleParams(text=heading)
    )


def _lines(layout: Layout, widths: Sequence[int]) -> tuple[alt.Chart, alt.Chart]:
    """Ruled lines across all panels, and the ground that is tinted where a set-up is chosen.

    Drawn once, with the first panel: every mark more in a row slows down long charts.
    """
    edges = {"x": alt.value(0), "x2": alt.value(sum(widths) + GAP * (len(widths) - 1))}
    rule = _near(layout).mark_rule(color=COLOURS.rule, strokeWidth=HAIRLINE)
    return (
        encoded(_near(layout).mark_rect(), **edges, y=_row(0.5), fill=GROUND),
        encoded(rule, **edges, y=_row(1)),
    )


def _row(band: float) -> alt.Y:
    return row_position("setup", "position", band=band).axis(None)


def _names(layout: Layout, x: int) -> alt.Chart:
    mark = _near(layout).mark_text(align="left", fontSize=TEXT_SIZE)
    return encoded(
        mark, x=alt.value(x), y=_row(layout.name_band), text="name:N", color=INK_OR_ACCENT
    )


def _figures(layout: Layout, x: int) -> alt.Chart:
    mark = _near(layout).mark_text(align="right", fontSize=TEXT_SIZE)
    return encoded(
        mark, x=alt.value(x), y=_row(layout.name_band), text="places:N", color=INK_OR_ACCENT
    )


def _intervals(layout: Layout) -> tuple[alt.Chart, ...]:
    scale = alt.Scale(domain=[{"expr": "value_low"}, {"expr": "value_high"}], nice=False)
    axis, y = value_axis("top"), _row(layout.mark_band)
    line = _near(layout).transform_filter("isValid(datum.low)").mark_rule(strokeWidth=LINE_WIDTH)
    dot = _near(layout).mark_point(size=DOT_SIZE, strokeWidth=LINE_WIDTH, opacity=1)
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
    bracket = _near(layout).transform_calculate(
        left=f"datum.place_best - {BRACKET_REACH}", right=f"datum.place_worst + {BRACKET_REACH}"
    )
    cap = bracket.mark_point(shape=UPRIGHT, size=CAP, strokeWidth=LINE_WIDTH, opacity=1)
    return (
        *(_top_cut_of_rows(layout) if layout.tint_band else _top_cut()),
        bracket.mark_rule(strokeWidth=LINE_WIDTH).encode(
            x=_place("left"), x2="right", y=y, color=INK_OR_ACCENT, strokeDash=DASH
        ),
        *(cap.encode(x=_place(end), y=y, stroke=INK_OR_ACCENT) for end in ("left", "right")),
    )


def _top_cut() -> tuple[alt.Chart, alt.Chart]:
    """The tinted places of the top cut, and the line where it ends, once for all rows."""
    cut = rows().transform_aggregate(n="count()")
    return _cut(cut, y=alt.value(0), y2=alt.value("height"))


def _top_cut_of_rows(layout: Layout) -> tuple[alt.Chart, alt.Chart]:
    """The same, leaving out the upper part of each row."""
    return _cut(_near(layout), y=_row(layout.tint_band), y2=alt.Y2("setup", bandPosition=1))


def _cut(
    cut: alt.Chart,
    **height: Any,  # noqa: ANN401 -- channels vary in type
) -> tuple[alt.Chart, alt.Chart]:
    cut = cut.transform_calculate(start="0.5", end="top_n + 0.5")
    return (
        encoded(cut.mark_rect(color=COLOURS.wash), x=_place("start"), x2="end", **height),
        encoded(cut.mark_rule(color=COLOURS.top_cut), x=_place("end"), **height),
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
