"""The form of small panels, one a series, before any result is in them.

In:  nothing but the layouts below.
Out: Vega-Lite, wide (two panels side by side) and narrow, for the data set ``rows``.

A panel has a row for each set-up, its label above its marks, and may have a last row with the
means of all other set-ups. Every panel has its own scale: series differ in unit.
"""

from __future__ import annotations

import altair as alt

from trialpress.charts.chart import Json
from trialpress.charts.forms.style import (
    COLOURS,
    DASH,
    DOT_SIZE,
    GROUND,
    INK_OR_ACCENT,
    INSIDE,
    IS_CHOSEN,
    IS_SHOWN,
    LINE_WIDTH,
    PANEL_HEADING,
    SIGNALS,
    TEXT_SIZE,
    UPRIGHT,
    encoded,
    finished,
    row_position,
    value_axis,
)
from trialpress.charts.panels import (
    COLUMN_GAP,
    LABEL_BAND,
    MARK_BAND,
    PANEL_WIDTH,
    ROW_GAP,
    STEP,
)

RUN_SIZE, MEAN_SIZE, FIELD_SIZE = 46, 400, 160
SPACING = {"row": ROW_GAP, "column": COLUMN_GAP}


def panels_form(*, columns: int) -> dict[str, Json]:
    """The form of all charts with a panel a series, in Vega-Lite."""
    layers = [_ground(), _labels(), _field(), _intervals(), _means(), _dots(), _runs()]
    panel = alt.LayerChart(layer=layers, data=alt.NamedData(name="rows"))
    sized = panel.properties(width=PANEL_WIDTH, height={"step": STEP})
    panels = sized.facet(PANEL_HEADING, columns=columns, spacing=SPACING).transform_filter(IS_SHOWN)
    apart = panels.resolve_scale(x="independent", y="independent")
    return finished(apart, SIGNALS)


def _ground() -> alt.Chart:
    """A row is tinted where its set-up is chosen."""
    mark = _kind("label").mark_rect()
    return encoded(mark, x=alt.value(0), x2=alt.value(PANEL_WIDTH), y=_row(0.5), fill=GROUND)


def _labels() -> alt.Chart:
    mark = _kind("label").mark_text(align="left", fontSize=TEXT_SIZE)
    return encoded(mark, x=alt.value(0), y=_row(LABEL_BAND), text="label:N", color=INK_OR_ACCENT)


def _field() -> alt.Chart:
    """The means of all other set-ups, as a quiet row of thin marks."""
    mark = _kind("field").mark_point(shape=UPRIGHT, size=FIELD_SIZE, strokeWidth=1.2, opacity=1)
    quiet = alt.condition(IS_CHOSEN, alt.value(COLOURS.accent), alt.value(COLOURS.muted))
    return encoded(mark, x=_value("value"), y=_row(MARK_BAND), stroke=quiet)


def _intervals() -> alt.Chart:
    mark = alt.Chart().transform_filter("isValid(datum.low)").mark_rule(strokeWidth=LINE_WIDTH)
    return encoded(
        mark, x=_value("low"), x2="high", y=_row(MARK_BAND), color=INK_OR_ACCENT, strokeDash=DASH
    )


def _means() -> alt.Chart:
    """A mean among its own runs: upright, as the runs are the circles."""
    mark = _kind("mean").mark_point(
        shape=UPRIGHT, size=MEAN_SIZE, strokeWidth=LINE_WIDTH, opacity=1
    )
    return encoded(mark, x=_value("value"), y=_row(MARK_BAND), stroke=INK_OR_ACCENT)


def _dots() -> alt.Chart:
    """A mean that stands for itself."""
    mark = _kind("dot").mark_point(size=DOT_SIZE, strokeWidth=LINE_WIDTH, opacity=1)
    shape = alt.condition("datum.is_second", alt.value("square"), alt.value("circle"))
    return encoded(
        mark, x=_value("value"), y=_row(MARK_BAND), stroke=INK_OR_ACCENT, fill=INSIDE, shape=shape
    )


def _runs() -> alt.Chart:
    mark = _kind("run").mark_point(size=RUN_SIZE, strokeWidth=1.4, opacity=1)
    return encoded(mark, x=_value("value"), y=_row(MARK_BAND), stroke=INK_OR_ACCENT)


def _kind(kind: str) -> alt.Chart:
    return alt.Chart().transform_filter(f"datum.kind === '{kind}'")


def _row(band: float) -> alt.Y:
    return row_position("row", "row_position", band=band)


def _value(field: str) -> alt.X:
    scale = alt.Scale(zero=False, nice=True, padding=10)
    return alt.X(field, type="quantitative", scale=scale, axis=value_axis("bottom"))
