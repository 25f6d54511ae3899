"""The one look of all charts.

In:  the light palette; pages recolour the pictures for the dark through their style sheet.
Out: the parts every chart is made of: colours, signals, axes, and the finish.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

import altair as alt

from trialpress.charts.chart import Json
from trialpress.charts.theme import (
    COLOURS,
    DASHES,
    DOT_SIZE,
    HAIRLINE,
    LINE_WIDTH,
    SMALL_TEXT_SIZE,
    TEXT_SIZE,
    THEME,
)

__all__ = ["COLOURS", "DOT_SIZE", "LINE_WIDTH", "SMALL_TEXT_SIZE", "TEXT_SIZE"]

DASHED, SOLID = [int(length) for length in DASHES.split(",")], [1, 0]
UPRIGHT = "M0,-0.5V0.5"

SIGNALS: Mapping[str, Json] = {"shown": None, "chosen": None}
IS_SHOWN = "shown === null || datum.setup === null || indexof(shown, datum.setup) >= 0"
IS_CHOSEN = "chosen !== null && datum.setup === chosen"

INK_OR_ACCENT = alt.condition(IS_CHOSEN, alt.value(COLOURS.accent), alt.value(COLOURS.ink))
PANEL_HEADING = alt.Facet(
    "heading:N",
    sort=alt.EncodingSortField("heading_position", op="min"),
    header=alt.Header(
        title=None,
        labelAnchor="start",
        labelColor=COLOURS.muted,
        labelFontSize=SMALL_TEXT_SIZE,
        labelLimit=0,
    ),
)
"""The heading of each of several small panels, in the order of their positions."""
INSIDE = (
    alt.when("datum.is_open")
    .then(alt.value(COLOURS.paper))
    .when(IS_CHOSEN)
    .then(alt.value(COLOURS.accent))
    .otherwise(alt.value(COLOURS.ink))
)
DASH = alt.condition("datum.is_dashed", alt.value(DASHED), alt.value(SOLID))
GROUND = alt.condition(IS_CHOSEN, alt.value(COLOURS.panel), alt.value("transparent"))


def rows() -> alt.Chart:
    """A chart of the rows that are shown, before it has a mark."""
    return alt.Chart(alt.NamedData(name="rows")).transform_filter(IS_SHOWN)


def encoded(mark: alt.Chart, **channels: Any) -> alt.Chart:  # noqa: ANN401 -- channels vary in type
    """A mark with its channels, typed."""
    chart: alt.Chart = mark.encode(**{name: _typed(name, way) for name, way in channels.items()})
    return chart


def _typed(channel: str, way: Any) -> Any:  # noqa: ANN401 -- ways vary in type
    """A plain value under the type of its channel; else Altair would try all types there are."""
    if not isinstance(way, dict) or way.keys() != {"value"}:
        return way
    return getattr(alt, f"{channel[0].upper()}{channel[1:]}Value")(way["value"])


def row_position(field: str, order: str, *, band: float = 0.5) -> alt.Y:
    """The place of a mark in its row, rows ruled off like the lines of a notebook.

    ``band`` goes from 0, the top of the row, to 1.
    """
    return alt.Y(
        field,
        type="nominal",
        bandPosition=band,
        sort=alt.EncodingSortField(order, op="min"),
        scale=alt.Scale(type="band", paddingInner=0, paddingOuter=0),
        axis=alt.Axis(
            title=None,
            labels=False,
            ticks=False,
            domain=False,
            grid=True,
            bandPosition=1,
            gridColor=COLOURS.rule,
            gridWidth=HAIRLINE,
        ),
    )


def value_axis(orient: Literal["top", "bottom", "left"]) -> alt.Axis:
    """A quiet axis for measured values: figures and hairlines, no frame."""
    return alt.Axis(
        title=None,
        orient=orient,
        tickCount=4,
        ticks=False,
        domain=False,
        labelPadding=6,
        grid=True,
        gridColor=COLOURS.rule,
        gridWidth=HAIRLINE,
        gridDash=[2, 3],
    )


def named_axis(orient: Literal["top", "bottom", "left"], name: str) -> alt.Axis:
    """The same under its name."""
    axis = value_axis(orient)
    axis.title, axis.titleColor, axis.titlePadding = name, COLOURS.muted, 8
    axis.titleFontSize, axis.titleFontWeight = SMALL_TEXT_SIZE, "normal"
    return axis


def finished(
    chart: alt.VConcatChart | alt.FacetChart, signals: Mapping[str, Json]
) -> dict[str, Json]:
    """A whole chart as Vega-Lite, with its signals, type face and quiet defaults."""
    dressed = chart.configure(
        font=THEME.chart_face,
        aria=False,
        padding=2,
        lineBreak="\n",
        view=alt.ViewConfig(stroke=None),
        axis=alt.AxisConfig(labelColor=COLOURS.muted, labelFontSize=SMALL_TEXT_SIZE, labelLimit=0),
        title=alt.TitleConfig(
            color=COLOURS.muted,
            fontSize=SMALL_TEXT_SIZE,
            fontWeight="normal",
            anchor="start",
            frame="group",
            limit=0,
            offset=6,
        ),
    )
    specification: dict[str, Json] = dressed.to_dict()
    # Added here, as `add_params` copies every part of the chart again.
    specification["params"] = [{"name": name, "value": value} for name, value in signals.items()]
    return specification
