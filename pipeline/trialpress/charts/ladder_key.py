"""The key of a ladder: what tinted, open and dashed mean, where a ladder has them.

In:  whether any row of the ladder is open, or dashed.
Out: the items of the key, and its form for the data set ``key``.
"""

from __future__ import annotations

from dataclasses import dataclass

import altair as alt

from trialpress.charts import wording
from trialpress.charts.style import (
    COLOURS,
    DASHED,
    DOT_SIZE,
    LINE_WIDTH,
    SMALL_TEXT_SIZE,
    encoded,
)
from trialpress.words import say

SWATCH, SWATCH_HEIGHT, SPACE = 20, 12, 7
LINE_HEIGHT = 16
LONGEST = 3
WORDS_WIDTH = 200


@dataclass(frozen=True)
class KeyItem:
    """One mark of the key, in the order of ``slot``."""

    slot: int
    mark: str
    words: str


def key_items(top_n: int, *, any_open: bool, any_dashed: bool) -> list[KeyItem]:
    """Only the marks that occur."""
    items = [("tint", wording.top_cut_key(top_n))]
    if any_open:
        items.append(("dot", say(wording.FEW_RUNS_KEY)))
    if any_dashed:
        items.append(("dashes", say(wording.ONE_RUN_KEY)))
    return [KeyItem(slot, mark, words) for slot, (mark, words) in enumerate(items)]


def key_strip(step: tuple[int, int]) -> alt.LayerChart:
    """The form of the key; ``step`` leads from one item to the next, along or down, in pixels."""
    right, down = step

    def pixels(each: int, offset: float) -> dict[str, str]:
        return {"expr": f"datum.slot * {each} + {offset}"}

    y = alt.value(pixels(down, LINE_HEIGHT / 2))
    start, middle, end, beside = (
        alt.value(pixels(right, offset)) for offset in (0, SWATCH / 2, SWATCH, SWATCH + SPACE)
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
        width=(LONGEST - 1) * right + WORDS_WIDTH, height=(LONGEST - 1) * down + LINE_HEIGHT
    )


def _only(mark: str) -> alt.Chart:
    return alt.Chart().transform_filter(f"datum.mark === '{mark}'")
