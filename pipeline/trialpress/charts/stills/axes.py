"""Axes of pictures: where values are, and their figures.

In:  the values an axis has to show, its length in pixels.
Out: an ``DrawnAxis``; grid lines and figures as SVG.

The rules are Vega's, so that a picture and the live chart over it agree: ends as far from the first
and last value as asked for, then at round values; figures at about so many round values, every
other one left out until none runs into the next.
Source: the documentation of Vega 6, "Scales" and "Axes", and of D3, "d3-array: Ticks".
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from trialpress.charts.fitting import text_width
from trialpress.charts.stills.marks import BASELINE, Word, across, down, strokes, words
from trialpress.charts.theme import COLOURS, SMALL_TEXT_SIZE
from trialpress.words import figures

TICKS, NICE_TICKS, SOME = 4, 10, 3
FACTORS = ((10, math.sqrt(50)), (5, math.sqrt(10)), (2, math.sqrt(2)))
GRID_WIDTH, GRID_DASH = 0.6, "2,3"
LABEL_GAP = 6
BELOW = LABEL_GAP + 9  # where figures below a panel stand
ABOVE = -LABEL_GAP - 3
FIGURES = "role-axis-label"
"""The style sheet sets these in the face of numerals."""


@dataclass(frozen=True)
class DrawnAxis:
    """A scale along ``length`` pixels, to the right or, where it is upward, from the bottom."""

    low: float
    high: float
    length: float
    ticks: tuple[float, ...]
    labels: tuple[str, ...]
    is_upward: bool = False
    is_log: bool = False

    def at(self, value: float) -> float:
        """Where a value is, from the left or from the top."""
        low, high, here = (self._even(each) for each in (self.low, self.high, value))
        along = self.length * ((here - low) / (high - low) if high > low else 0.5)
        return self.length - along if self.is_upward else along

    def _even(self, value: float) -> float:
        return math.log10(value) if self.is_log else value

    @property
    def label_width(self) -> float:
        """That of its widest figure, in pixels."""
        return max((text_width(label, SMALL_TEXT_SIZE) for label in self.labels), default=0.0)


def round_axis(
    values: Iterable[float], length: float, padding: float, *, is_upward: bool = False
) -> DrawnAxis:
    """An axis that begins and ends at round values, ``padding`` pixels beyond those it shows."""
    known = list(values)
    if not known:
        return DrawnAxis(0, 1, length, (), (), is_upward)
    low, high = _nice(*_padded(known, length, padding))
    return plain_axis(low, high, length, is_upward=is_upward)


def plain_axis(low: float, high: float, length: float, *, is_upward: bool = False) -> DrawnAxis:
    """An axis between two ends, with round values where they come to lie."""
    if low >= high:
        return DrawnAxis(low, high, length, (low,), (figures.typed_number(low),), is_upward)
    ticks, step = _ticks(low, high)
    decimals = max(0, -math.floor(math.log10(step)))
    labels = tuple(figures.plain(f"{tick + 0.0:,.{decimals}f}") for tick in ticks)
    return _uncrowded(DrawnAxis(low, high, length, ticks, labels, is_upward))


def unmarked_axis(values: Iterable[float], length: float, padding: float) -> DrawnAxis:
    """An axis without figures."""
    return DrawnAxis(*_padded(values, length, padding), length, (), ())


def log_axis(
    values: Iterable[float], length: float, padding: float, ticks: Sequence[float]
) -> DrawnAxis:
    """An axis of equal ratios with some of the figures that are given."""
    low, high = (10.0**end for end in _padded(map(math.log10, values), length, padding))
    few = tuple(ticks)
    while len(few) > TICKS:
        few = few[::2]
    labels = tuple(figures.plain(f"{tick:,.2f}".rstrip("0").rstrip(".")) for tick in few)
    return _uncrowded(DrawnAxis(low, high, length, few, labels, is_log=True))


def place_axis(places: int, ticks: Sequence[int], length: float) -> DrawnAxis:
    """An axis of places, each as wide as the next."""
    labels = tuple(map(str, ticks))
    return _uncrowded(DrawnAxis(0.5, places + 0.5, length, tuple(ticks), labels))


def _padded(values: Iterable[float], length: float, padding: float) -> tuple[float, float]:
    """Ends so far out that the outermost values are ``padding`` pixels within."""
    known = list(values)
    low, high = min(known), max(known)
    middle, half = (low + high) / 2, (high - low) / 2 * length / (length - 2 * padding)
    return middle - half, middle + half


def _increment(low: float, high: float, count: int) -> float:
    """The step between about so many round values; negative: one by so much, to stay exact."""
    rough = (high - low) / count
    power = math.floor(math.log10(rough))
    error = rough / 10.0**power
    factor = next((factor for factor, least in FACTORS if error >= least), 1)
    return 10.0**power * factor if power >= 0 else -(10.0**-power) / factor


def _nice(low: float, high: float) -> tuple[float, float]:
    """Round ends around the given ones."""
    before = 0.0
    while low < high:
        step = _increment(low, high, NICE_TICKS)
        if step == before:
            break
        if step > 0:
            low, high = math.floor(low / step) * step, math.ceil(high / step) * step
        else:
            low, high = math.ceil(low * step) / step, math.floor(high * step) / step
        before = step
    return low, high


def _ticks(low: float, high: float) -> tuple[tuple[float, ...], float]:
    """Round values within the ends, and the step between them."""
    step = _increment(low, high, TICKS)
    size = step if step > 0 else -1 / step
    numbers = range(math.floor(low / size), math.ceil(high / size) + 1)
    values = (number * step if step > 0 else number / -step for number in numbers)
    return tuple(value for value in values if low <= value <= high), size


def _uncrowded(axis: DrawnAxis) -> DrawnAxis:
    """Without every other figure, again and again, until none runs into the next."""
    labels = list(axis.labels)
    shown = range(len(labels))
    while len(shown) >= SOME and _is_crowded(axis, shown):
        shown = shown[::2]
    return replace(
        axis, labels=tuple(label if at in shown else "" for at, label in enumerate(labels))
    )


def _is_crowded(axis: DrawnAxis, shown: range) -> bool:
    places = [axis.at(tick) for tick in axis.ticks]
    if axis.is_upward:
        return any(places[one] - places[next_] < SMALL_TEXT_SIZE for one, next_ in pairwise(shown))
    reach = [text_width(label, SMALL_TEXT_SIZE) / 2 for label in axis.labels]
    return any(
        places[one] + reach[one] > places[next_] - reach[next_] for one, next_ in pairwise(shown)
    )


def upright_grid(axis: DrawnAxis, height: float) -> str:
    """A line from top to bottom at each round value."""
    return _grid(down(_whole(axis.at(tick)), 0.5, height + 0.5) for tick in axis.ticks)


def level_grid(axis: DrawnAxis, width: float) -> str:
    """A line from left to right at each round value."""
    return _grid(across(0.5, _whole(axis.at(tick)), width + 0.5) for tick in axis.ticks)


def _grid(paths: Iterable[str]) -> str:
    return strokes(paths, COLOURS.rule, GRID_WIDTH, dash=GRID_DASH)


def _whole(place: float) -> float:
    return math.floor(place + 0.5) + 0.5


def figures_along(axis: DrawnAxis, y: float, *, is_flush: bool = True) -> str:
    """The figures of an axis to the right; the first and last stay within, where they are flush."""
    placed = (
        Word(axis.at(tick) + 0.5, y + 0.5, label, _anchor(axis.at(tick), axis.length, is_flush))
        for tick, label in zip(axis.ticks, axis.labels, strict=True)
        if label
    )
    return words(placed, COLOURS.muted, SMALL_TEXT_SIZE, role=FIGURES)


def _anchor(place: float, length: float, is_flush: bool) -> str:  # noqa: FBT001 -- passed on
    if is_flush and place < 1:
        return "start"
    return "end" if is_flush and place > length - 1 else "middle"


def figures_beside(axis: DrawnAxis) -> str:
    """The figures of an axis upward, left of it."""
    placed = (
        Word(0.5 - LABEL_GAP, axis.at(tick) + BASELINE + 0.5, label, "end")
        for tick, label in zip(axis.ticks, axis.labels, strict=True)
        if label
    )
    return words(placed, COLOURS.muted, SMALL_TEXT_SIZE, role=FIGURES)


def above(axis: DrawnAxis) -> float:
    """How far the uppermost figure of an axis upward reaches above its panel, in pixels."""
    return max(0.0, SMALL_TEXT_SIZE / 2 - min(_shown(axis), default=axis.length))


def below(axis: DrawnAxis) -> float:
    """How far the lowest one reaches below it."""
    return max(0.0, max(_shown(axis), default=0.0) + SMALL_TEXT_SIZE / 2 - axis.length)


def _shown(axis: DrawnAxis) -> list[float]:
    """Where figures are."""
    return [axis.at(tick) for tick, label in zip(axis.ticks, axis.labels, strict=True) if label]


def beyond(axis: DrawnAxis) -> float:
    """How far the last figure of an axis to the right, where it is not flush, reaches beyond it."""
    half = text_width(axis.labels[-1], SMALL_TEXT_SIZE) / 2 if axis.labels else 0.0
    return max(0.0, max(_shown(axis), default=0.0) + half - axis.length)
