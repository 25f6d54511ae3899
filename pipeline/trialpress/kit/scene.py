"""What stands on a still, before it is drawn: boxes, dots and words, each with the role it plays.

In:  positions in pixels of the still, from its upper left corner.
Out: a ``Scene``, which ``png`` and ``svg`` draw alike.

Everything that is a line is a thin box on whole pixels: so edges are sharp, and a still drawn in
twice the size is the same still.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from trialpress.charts.typesetting import Face, fitted, width_of, wrapped

SMALLEST_PX = 28
"""The size of type, on a still of 1080 lines, below which a telephone shows nothing legible."""


class Role(StrEnum):
    """What a mark is there for: a role of the theme's palette."""

    PAPER = "paper"
    PANEL = "panel"
    WASH = "wash"
    INK = "ink"
    MUTED = "muted"
    RULE = "rule"
    ACCENT = "accent"
    TOP_CUT = "top_cut"
    DOUBT = "doubt"


class Align(StrEnum):
    """Which end of a line of words its position means."""

    LEFT = "left"
    MIDDLE = "middle"
    RIGHT = "right"


@dataclass(frozen=True)
class Box:
    """A filled rectangle on whole pixels."""

    x: int
    y: int
    width: int
    height: int
    role: Role


@dataclass(frozen=True)
class Dot:
    """A disc around a point; an open one is a ring with paper inside."""

    x: int
    y: int
    radius: int
    role: Role
    is_open: bool = False


@dataclass(frozen=True)
class TextLine:
    """One line of words on a base line."""

    x: int
    y: int
    text: str
    size: int
    face: Face = Face.TEXT
    role: Role = Role.INK
    align: Align = Align.LEFT

    @property
    def width(self) -> float:
        """How wide the line is, in pixels."""
        return width_of(self.text, self.face, self.size)

    @property
    def left(self) -> float:
        """Where the line begins."""
        share = {Align.LEFT: 0.0, Align.MIDDLE: 0.5, Align.RIGHT: 1.0}[self.align]
        return self.x - share * self.width


Mark = Box | Dot | TextLine


@dataclass(frozen=True)
class Scene:
    """Everything on one still, in the order it is drawn."""

    width: int
    height: int
    marks: tuple[Mark, ...]

    @property
    def words(self) -> Iterator[TextLine]:
        """The lines of words on it."""
        return (mark for mark in self.marks if isinstance(mark, TextLine))


@dataclass(frozen=True)
class Stroke:
    """How a line is drawn; dashed where ``dash`` is not 0."""

    thick: int
    role: Role
    dash: int = 0


def level_line(x: int, end: int, y: int, stroke: Stroke) -> Iterator[Box]:
    """A line from left to right, its middle at ``y``."""
    top = y - stroke.thick // 2
    if not stroke.dash:
        yield Box(x, top, max(end - x, 1), stroke.thick, stroke.role)
        return
    for start in range(x, end, 2 * stroke.dash):
        yield Box(start, top, min(stroke.dash, end - start), stroke.thick, stroke.role)


def upright_line(x: int, y: int, end: int, stroke: Stroke) -> Box:
    """A line from top to bottom, its middle at ``x``."""
    return Box(x - stroke.thick // 2, y, stroke.thick, max(end - y, 1), stroke.role)


def bracket(x: int, end: int, y: int, stroke: Stroke) -> Iterator[Box]:
    """A range of places: a line with a hook down at both ends."""
    thick, role = stroke.thick, stroke.role
    end = max(end, x + 2 * thick)
    yield Box(x, y, end - x, thick, role)
    yield Box(x, y, thick, 3 * thick, role)
    yield Box(end - thick, y, thick, 3 * thick, role)


def ticks(x: int, end: int, y: int, role: Role = Role.INK, step: int = 12) -> Iterator[Box]:
    """A ruler: a line with ticks below it, each tenth of them longer."""
    yield Box(x, y, end - x, 2, role)
    for number, at in enumerate(range(x, end, step)):
        yield Box(at, y, 1, 18 if number % 10 == 0 else 9, role)


@dataclass(frozen=True)
class Type:
    """How words are set: a face, its sizes from the first to the least, and a role."""

    face: Face
    size: int
    role: Role = Role.INK
    least: int = SMALLEST_PX

    def line(self, x: int, y: int, text: str, room: float, align: Align = Align.LEFT) -> TextLine:
        """One line, smaller where it must be, and cut only where the least size is still wide."""
        size = self.size
        while size > self.least and width_of(text, self.face, size) > room:
            size -= 2
        return TextLine(
            x, y, fitted(text, self.face, size, room), size, self.face, self.role, align
        )

    def lines(self, x: int, y: int, text: str, room: float, most: int) -> tuple[TextLine, ...]:
        """At most so many lines, whole words on each."""
        return tuple(
            TextLine(x, y + round(self.size * 1.25) * number, line, self.size, self.face, self.role)
            for number, line in enumerate(wrapped(text, self.face, self.size, room, most))
        )
