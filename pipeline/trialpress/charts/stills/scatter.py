"""A scatter as a picture: a dot a machine, values upwards, what they are held against across.

In:  the marks of the chart, the names of its axes, and the ticks of prices.
Out: a ``Drawing``, wide or narrow.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from trialpress.charts.stills.axes import (
    BELOW,
    LABEL_GAP,
    DrawnAxis,
    above,
    figures_along,
    figures_beside,
    level_grid,
    log_axis,
    round_axis,
    upright_grid,
)
from trialpress.charts.stills.facets import Panel, facets
from trialpress.charts.stills.marks import (
    BASELINE,
    Drawing,
    Word,
    cross,
    dot,
    dots,
    down,
    moved,
    strokes,
    turned,
    words,
)
from trialpress.charts.theme import COLOURS, SMALL_TEXT_SIZE, THIN_LINE
from trialpress.store import grouped

INTERVAL_WIDTH, NAME_GAP, HALO = 1.2, 9, 4
PANEL_WIDTH, SINGLE_WIDTH, NARROW_WIDTH = 310, 640, 260
PANEL_HEIGHT, SINGLE_HEIGHT = 200, 320
ROW_GAP, COLUMN_GAP = 28, 44
SIDES = {"left": (-NAME_GAP, "end"), "right": (NAME_GAP, "start")}
CROSS_REACH = 2.76
TITLE_GAP, TITLE_BELOW = 8, 34
TITLE_ROOM, BELOW_ROOM = 13, 37
UP_PADDING, ACROSS_PADDING, PRICE_PADDING = 8, 10, 14


@dataclass(frozen=True)
class ScatterMark:
    """One dot as it is drawn; ``setup`` is None for what a filter does not know.

    ``named`` is the side on which its name stands, and empty where it has none.
    """

    heading: str
    heading_position: int
    setup: str | None
    kind: str
    against: float
    value: float
    low: float | None
    high: float | None
    reading: str
    name: str = ""
    named: str = ""


def scatter_still(
    marks: Sequence[ScatterMark],
    axes: Mapping[str, str],
    *,
    is_single: bool,
    narrow: bool,
    prices: Sequence[float] | None,
) -> Drawing:
    """Draw a panel a heading; with ``prices`` to name, what values are held against are prices."""
    wide = SINGLE_WIDTH if is_single else PANEL_WIDTH
    size = NARROW_WIDTH if narrow else wide, SINGLE_HEIGHT if is_single else PANEL_HEIGHT
    panels = grouped(marks, lambda mark: mark.heading_position)
    drawn = [_panel(panels[at], axes, size, prices) for at in sorted(panels)]
    columns = 1 if narrow or is_single else 2
    return facets(drawn, columns, ROW_GAP, COLUMN_GAP)


def _panel(
    marks: Sequence[ScatterMark],
    axes: Mapping[str, str],
    size: tuple[int, int],
    prices: Sequence[float] | None,
) -> Panel:
    width, height = size
    against = [mark.against for mark in marks]
    along = (
        log_axis(against, width, PRICE_PADDING, prices)
        if prices is not None
        else round_axis(against, width, ACROSS_PADDING)
    )
    ends = chain.from_iterable((mark.value, mark.low, mark.high) for mark in marks)
    known = [end for end in ends if end is not None]
    up = round_axis(known, height, UP_PADDING, is_upward=True)
    beside = LABEL_GAP + up.label_width + TITLE_GAP
    name = Word(0, -3, axes["up"], "middle")
    below = [Word(width / 2 + 0.5, height + TITLE_BELOW + 0.5, axes["across"], "middle")]
    drawn = (
        upright_grid(along, height)
        + level_grid(up, width)
        + moved(figures_along(along, BELOW), 0, height)
        + words(below, COLOURS.muted, SMALL_TEXT_SIZE)
        + figures_beside(up)
        + turned(words([name], COLOURS.muted, SMALL_TEXT_SIZE), 0.5 - beside, height / 2 + 0.5)
        + _intervals(marks, along, up)
        + _dots(marks, along, up)
        + _names(marks, along, up)
    )
    return Panel(
        marks[0].heading,
        width,
        height,
        drawn,
        math.ceil(beside + TITLE_ROOM),
        above(up),
        BELOW_ROOM,
    )


def _intervals(marks: Sequence[ScatterMark], along: DrawnAxis, up: DrawnAxis) -> str:
    paths = (
        down(along.at(mark.against), up.at(mark.low), up.at(mark.high))
        for mark in marks
        if mark.low is not None and mark.high is not None
    )
    return strokes(paths, COLOURS.rule, INTERVAL_WIDTH)


def _dots(marks: Sequence[ScatterMark], along: DrawnAxis, up: DrawnAxis) -> str:
    """Crosses, then open circles, then filled ones, over one another."""

    def places(kind: str) -> Iterator[tuple[float, float]]:
        return ((along.at(m.against), up.at(m.value)) for m in marks if m.kind == kind)

    crosses = strokes((cross(x, y, CROSS_REACH) for x, y in places("beaten")), width=THIN_LINE)
    fills = ("possible", COLOURS.paper), ("certain", COLOURS.ink)
    return crosses + "".join(
        dots((dot(x, y, fill) for x, y in places(kind)), THIN_LINE) for kind, fill in fills
    )


def _names(marks: Sequence[ScatterMark], along: DrawnAxis, up: DrawnAxis) -> str:
    """The names of the few that matter, each over a halo so that it can be read over marks."""
    halo = (COLOURS.paper, HALO)
    return "".join(
        words(_named(marks, side, along, up), size=SMALL_TEXT_SIZE, outline=outline)
        for side in SIDES
        for outline in (halo, None)
    )


def _named(
    marks: Sequence[ScatterMark], side: str, along: DrawnAxis, up: DrawnAxis
) -> Iterator[Word]:
    """The names on one side of their marks."""
    aside, anchor = SIDES[side]
    for mark in marks:
        if mark.named == side:
            x, y = along.at(mark.against) + aside, up.at(mark.value) + BASELINE
            yield Word(x, y, mark.name, anchor)
