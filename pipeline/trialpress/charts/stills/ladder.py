"""A ladder as a picture: a row a set-up, its interval beside the places it cannot be ruled out of.

In:  a ``Ladder``, and how many of its rows the picture shows.
Out: a ``Drawing``, wide or narrow.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from trialpress.charts import wording
from trialpress.charts.ladder import (
    BRACKET_REACH,
    FIGURES_WIDTH,
    GAP,
    KEY_LINE_HEIGHT,
    NARROW,
    SWATCH,
    SWATCH_HEIGHT,
    SWATCH_SPACE,
    WIDE,
    KeyItem,
    Ladder,
    LadderRow,
    Layout,
    fitted_rows,
)
from trialpress.charts.scale import place_ticks
from trialpress.charts.stills.axes import (
    ABOVE,
    DrawnAxis,
    beyond,
    figures_along,
    place_axis,
    plain_axis,
    upright_grid,
)
from trialpress.charts.stills.marks import (
    BASELINE,
    Drawing,
    Word,
    across,
    areas,
    box,
    dot,
    dots,
    down,
    heading,
    heading_height,
    moved,
    strokes,
    words,
)
from trialpress.charts.theme import COLOURS, DASHES, HAIRLINE, SMALL_TEXT_SIZE
from trialpress.words import say

HEADING_BOTTOM, HEADING_EDGE = -25, 1
"""Above the figures of an axis."""
LEFT, TOP, RIGHT, BOTTOM = 4, 2, 3, 3
CAP_REACH = 3.16


def ladder_still(ladder: Ladder, *, narrow: bool, most: int | None = None) -> Drawing:
    """Draw a ladder, or the first rows of it."""
    layout = NARROW if narrow else WIDE
    drawn = _Rows(fitted_rows(ladder.rows[:most], layout), layout)
    values = plain_axis(*ladder.ends, layout.interval_width)
    places = place_axis(ladder.places, place_ticks(ladder.places), layout.places_width)
    headings = ladder.heading, say(wording.PLACES_HEADING)
    lines = max(heading_height(text) for text in headings)
    top = TOP + layout.key_height + GAP + lines - HEADING_BOTTOM + HEADING_EDGE
    left = 0 if narrow else layout.name_width + GAP
    middle = left + layout.interval_width + GAP
    width = middle + layout.places_width + (0 if narrow else GAP + FIGURES_WIDTH)
    names, figures = drawn.names(), drawn.figures(width)
    intervals = drawn.intervals(values) + heading(headings[0], HEADING_BOTTOM)
    brackets = (
        figures_along(places, ABOVE, is_flush=False)
        + drawn.cut(places, min(ladder.top_n, ladder.places))
        + drawn.brackets(places)
    )
    over_brackets = moved(heading(headings[1], HEADING_BOTTOM), middle, 0)
    # In the order of the live chart, so that both are read alike.
    panels = moved(intervals, left, 0), moved(brackets, middle, 0)
    ordered = (
        (*panels, names, figures, over_brackets)
        if narrow
        else (
            names,
            *panels,
            over_brackets,
            figures,
        )
    )
    body = drawn.rules(width) + "".join(ordered)
    key = _key(ladder.key(drawn.rows), layout)
    marks = moved(key, LEFT, TOP) + moved(body, LEFT, top)
    right = RIGHT + (math.ceil(beyond(places)) if narrow else 0)
    return Drawing(LEFT + width + right, top + drawn.height + BOTTOM, marks)


@dataclass(frozen=True)
class _Rows:
    """The rows of a picture, with where the parts of each are."""

    rows: Sequence[LadderRow]
    layout: Layout

    @property
    def height(self) -> int:
        return self.layout.step * len(self.rows)

    def at(self, band: float) -> Iterator[tuple[LadderRow, float]]:
        """Every row, and how far down that part of it is."""
        for number, row in enumerate(self.rows):
            yield row, self.layout.step * (number + band)

    def rules(self, width: float) -> str:
        return strokes((across(0, y, width) for _, y in self.at(1)), COLOURS.rule, HAIRLINE)

    def names(self) -> str:
        return words(Word(0, y + BASELINE, row.name) for row, y in self.at(self.layout.name_band))

    def figures(self, x: float) -> str:
        band = self.layout.name_band
        return words(Word(x, y + BASELINE, row.places, "end") for row, y in self.at(band))

    def intervals(self, axis: DrawnAxis) -> str:
        """The axis with the interval and the mean of every row."""

        def interval(row: LadderRow, y: float) -> str:
            if row.low is None or row.high is None:
                return ""
            return across(axis.at(row.low), y, axis.at(row.high))

        means = (
            dot(axis.at(row.mean), y, COLOURS.paper if row.is_open else COLOURS.ink)
            for row, y in self.at(self.layout.mark_band)
        )
        return (
            upright_grid(axis, self.height)
            + figures_along(axis, ABOVE)
            + self.whole_or_dashed(interval)
            + dots(means)
        )

    def cut(self, axis: DrawnAxis, top_n: int) -> str:
        """The tinted places of the top cut, and the line where it ends."""
        band = self.layout.tint_band
        step, end = self.layout.step, axis.at(top_n + 0.5)
        parts = (
            [(y, y + step * (1 - band)) for _, y in self.at(band)]
            if band
            else [(0.0, float(self.height))]
        )
        return areas((box(0, top, end, bottom) for top, bottom in parts), COLOURS.wash) + strokes(
            (down(end, top, bottom) for top, bottom in parts), COLOURS.top_cut, 1
        )

    def brackets(self, axis: DrawnAxis) -> str:
        """The places of every row as a bracket."""

        def ends(row: LadderRow) -> tuple[float, float]:
            return axis.at(row.place_best - BRACKET_REACH), axis.at(row.place_worst + BRACKET_REACH)

        def bracket(row: LadderRow, y: float) -> str:
            left, right = ends(row)
            return across(left, y, right)

        caps = (
            down(end, y - CAP_REACH, y + CAP_REACH)
            for row, y in self.at(self.layout.mark_band)
            for end in ends(row)
        )
        return self.whole_or_dashed(bracket) + strokes(caps)

    def whole_or_dashed(self, path: Callable[[LadderRow, float], str]) -> str:
        """A line in every row, dashed where the row is."""
        drawn = [(row.is_dashed, path(row, y)) for row, y in self.at(self.layout.mark_band)]
        whole, dashed = ([line for is_, line in drawn if is_ is kind] for kind in (False, True))
        return strokes(whole) + strokes(dashed, dash=DASHES)


def _key(items: Sequence[KeyItem], layout: Layout) -> str:
    """What tinted, open and dashed mean."""
    right, below = layout.key_step
    return "".join(moved(_key_item(item), item.slot * right, item.slot * below) for item in items)


def _key_item(item: KeyItem) -> str:
    middle, half = KEY_LINE_HEIGHT / 2, SWATCH_HEIGHT / 2
    marks = {
        "tint": areas([box(0, middle - half, SWATCH, middle + half)], COLOURS.wash),
        "dashes": strokes([across(0, middle, SWATCH)], dash=DASHES),
        "dot": dots([dot(SWATCH / 2, middle, COLOURS.paper)]),
    }
    legend = [Word(SWATCH + SWATCH_SPACE, middle + BASELINE, item.words)]
    return marks[item.mark] + words(legend, COLOURS.muted, SMALL_TEXT_SIZE)
