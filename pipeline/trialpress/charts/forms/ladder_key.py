"""The key of a ladder: what tinted, open and dashed mean.

In:  nothing.
Out: its part of the form, for the data set ``key``.

Short: it is drawn apart from the ladder.
"""

from __future__ import annotations

import altair as alt

from trialpress.charts.forms.style import (
    COLOURS,
    DASHED,
    DOT_SIZE,
    LINE_WIDTH,
    SMALL_TEXT_SIZE,
    encoded,
)
from trialpress.charts.ladder import (
    KEY_LINE_HEIGHT,
    LONGEST_KEY,
    SWATCH,
    SWATCH_HEIGHT,
    SWATCH_SPACE,
)

WORDS_WIDTH = 200


def key_strip(step: tuple[int, int]) -> alt.LayerChart:
    """The form of the key; ``step`` leads from one item to the next, along or down, in pixels."""
    right, down = step

    def pixels(each: int, offset: float) -> dict[str, str]:
        return {"expr": f"datum.slot * {each} + {offset}"}

    y = alt.value(pixels(down, KEY_LINE_HEIGHT / 2))
    start, middle, end, beside = (
        alt.value(pixels(right, offset))
        for offset in (0, SWATCH / 2, SWATCH, SWATCH + SWATCH_SPACE)
    )
    ink, paper = COLOURS.ink, COLOURS.paper
    tint = _only("tint").mark_rect(height=SWATCH_HEIGHT, color=COLOURS.wash)
    dashes = _only("dashes").mark_rule(color=ink, strokeWidth=LINE_WIDTH, strokeDash=DASHED)
    dot = _only("dot").mark_point(
        size=DOT_SIZE, stroke=ink, fill=paper, strokeWidth=LINE_WIDTH, opacity=1
    )
    words = alt.Chart().mark_text(align="left", color=COLOURS.muted, fontSize=SMALL_TEXT_SIZE)
    layers = [
        encoded(tint, x=start, x2=end, y=y),
        encoded(dashes, x=start, x2=end, y=y),
        encoded(dot, x=middle, y=y),
        encoded(words, x=beside, y=y, text="words:N"),
    ]
    return alt.LayerChart(layer=layers, data=alt.NamedData(name="key")).properties(
        width=(LONGEST_KEY - 1) * right + WORDS_WIDTH,
        height=(LONGEST_KEY - 1) * down + KEY_LINE_HEIGHT,
    )


def _only(mark: str) -> alt.Chart:
    return alt.Chart().transform_filter(f"datum.mark === '{mark}'")
