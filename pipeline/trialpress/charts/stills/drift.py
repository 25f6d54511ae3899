"""A control chart as a picture: the days between their limits, the moving average below.

In:  the marks of the days, the dates to name, and the two headings.
Out: a ``Drawing``, wide or narrow.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trialpress.charts.fitting import text_width
from trialpress.charts.stills.axes import (
    LABEL_GAP,
    DrawnAxis,
    above,
    below,
    figures_beside,
    level_grid,
    round_axis,
    unmarked_axis,
)
from trialpress.charts.stills.marks import (
    BASELINE,
    Drawing,
    Word,
    box,
    cross,
    dot,
    dots,
    down,
    heading,
    heading_height,
    moved,
    strokes,
    through,
    words,
)
from trialpress.charts.theme import COLOURS, HAIRLINE, LINE_WIDTH, SMALL_TEXT_SIZE, THIN_LINE

GAP, DATE_GAP = 10, 16


@dataclass(frozen=True)
class DriftLayout:
    """Measures in pixels."""

    width: int
    days_height: int
    average_height: int


WIDE = DriftLayout(width=660, days_height=190, average_height=110)
NARROW = DriftLayout(width=270, days_height=170, average_height=110)


@dataclass(frozen=True)
class DateMark:
    """A date below the chart."""

    day: int
    words: str


@dataclass(frozen=True)
class DriftMark:
    """A day as it is drawn; ``day`` counts from the first one."""

    setup: str
    day: int
    value: float
    centre: float | None
    lower: float | None
    upper: float | None
    moving_average: float | None
    average_lower: float | None
    average_upper: float | None
    is_baseline: bool
    is_out: bool
    average_is_out: bool
    reading: str


LIMIT_DASH, LIMIT_WIDTH = "8,4", 1.4
SIDE, TOP, BOTTOM = 2, 3, 25
HEADING_GAP, HEADING_EDGE = 6, 2
CROSS_REACH = 3.87
PLACE_PADDING, VALUE_PADDING = 10, 4


def drift_still(
    marks: Sequence[DriftMark],
    dates: Sequence[DateMark],
    headings: tuple[str, str],
    *,
    narrow: bool,
) -> Drawing:
    """Draw the days of a reference."""
    layout = NARROW if narrow else WIDE
    days = [*(mark.day for mark in marks), *(date.day for date in dates)]
    along = unmarked_axis(days, layout.width, PLACE_PADDING)
    each = _Panel.of(map(_of_day, marks), along, layout.days_height)
    mean = _Panel.of(map(_of_average, marks), along, layout.average_height)
    left, right = _margins(dates, along, max(each.up.label_width, mean.up.label_width))
    first = TOP + each.room(headings[0])
    second = first + each.up.length + below(each.up) + GAP + mean.room(headings[1]) + HEADING_EDGE
    inside = each.through("value", COLOURS.rule, 1) + _circles(marks, each)
    line = mean.through("value", COLOURS.ink, LINE_WIDTH)
    drawn = (
        moved(each.framed(headings[0], dates, inside), left, first)
        + moved(mean.framed(headings[1], dates, line), left, second)
        + moved(_dated(dates, along, mean.up.length + DATE_GAP), left, second)
    )
    bottom = second + mean.up.length + BOTTOM
    return Drawing(left + layout.width + right, math.ceil(bottom), drawn)


def _margins(dates: Sequence[DateMark], along: DrawnAxis, figures: float) -> tuple[int, int]:
    """The room left and right of the panels, which figures and the outer dates need."""
    reaches = [(along.at(date.day), text_width(date.words, SMALL_TEXT_SIZE) / 2) for date in dates]
    left = max([LABEL_GAP + figures, *(half - at for at, half in reaches)])
    right = max([0.0, *(at + half - along.length for at, half in reaches)])
    return SIDE + math.ceil(left), SIDE + math.ceil(right)


def _dated(dates: Sequence[DateMark], along: DrawnAxis, middle: float) -> str:
    placed = (Word(along.at(date.day), middle + BASELINE, date.words, "middle") for date in dates)
    return words(placed, COLOURS.muted, SMALL_TEXT_SIZE)


def _circles(marks: Sequence[DriftMark], panel: _Panel) -> str:
    """The days in line; open while one belongs to the baseline that the limits come from."""
    circles = (
        dot(x, y, COLOURS.paper if mark.is_baseline else COLOURS.ink)
        for mark, (x, y) in zip(marks, panel.points("value"), strict=True)
        if not mark.is_out
    )
    return dots(circles, THIN_LINE)


@dataclass(frozen=True)
class _Day:
    """A day as one of the panels shows it."""

    day: int
    value: float | None
    lower: float | None
    upper: float | None
    centre: float | None
    is_out: bool


def _of_day(mark: DriftMark) -> _Day:
    return _Day(mark.day, mark.value, mark.lower, mark.upper, mark.centre, mark.is_out)


def _of_average(mark: DriftMark) -> _Day:
    average = mark.moving_average, mark.average_lower, mark.average_upper
    return _Day(mark.day, *average, mark.centre, mark.average_is_out)


@dataclass(frozen=True)
class _Panel:
    """Days on two axes."""

    days: Sequence[_Day]
    along: DrawnAxis
    up: DrawnAxis

    @classmethod
    def of(cls, days: Iterable[_Day], along: DrawnAxis, height: int) -> _Panel:
        shown = list(days)
        ends = (end for day in shown for end in (day.value, day.lower, day.upper, day.centre))
        known = [end for end in ends if end is not None]
        return cls(shown, along, round_axis(known, height, VALUE_PADDING, is_upward=True))

    def room(self, text: str) -> float:
        """What is above the panel, in pixels."""
        return above(self.up) + HEADING_GAP + heading_height(text)

    def points(self, field: str) -> list[tuple[float, float]]:
        """Where the days are that have the field."""
        values = ((day.day, getattr(day, field)) for day in self.days)
        return [
            (self.along.at(day), self.up.at(value)) for day, value in values if value is not None
        ]

    def through(self, field: str, colour: str, width: float, dash: str = "") -> str:
        """A line from day to day."""
        return strokes([through(self.points(field))], colour, width, dash=dash)

    def framed(self, text: str, dates: Sequence[DateMark], inside: str) -> str:
        """What is inside between the limits, over the grid, under the heading."""
        lines = (down(self.along.at(date.day), 0, self.up.length) for date in dates)
        limits = (
            self.through(end, COLOURS.ink, LIMIT_WIDTH, LIMIT_DASH) for end in ("lower", "upper")
        )
        return (
            level_grid(self.up, self.along.length)
            + figures_beside(self.up)
            + strokes(lines, COLOURS.rule, HAIRLINE)
            + "".join(limits)
            + self.through("centre", COLOURS.muted, HAIRLINE)
            + inside
            + self._out_of_line()
            + heading(text, -above(self.up) - HEADING_GAP)
        )

    def _out_of_line(self) -> str:
        """A cross in a square, which hides what is under it."""
        reach = CROSS_REACH
        places = (
            (self.along.at(day.day), self.up.at(day.value))
            for day in self.days
            if day.is_out and day.value is not None
        )
        squares = (
            box(x - reach, y - reach, x + reach, y + reach) + cross(x, y, reach) for x, y in places
        )
        return strokes(squares, COLOURS.doubt, THIN_LINE, fill=COLOURS.paper)
