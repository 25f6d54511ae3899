"""What all stills of a kit share: the head of a ticket with one number, the foot, and the room.

In:  the bench, the date, the page a still is of, and the one figure it says.
Out: marks for the head and the foot; where the rest has its room, on a wide and on a tall still.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trialpress.charts.typesetting import Face, width_of
from trialpress.kit.scene import Align, Box, Mark, Role, Scene, TextLine, Type, ticks

BENCH = Type(Face.BOLD, 34)
DATE = Type(Face.TEXT, 30, Role.MUTED)
EMBARGO = Type(Face.BOLD, 34)
TITLE = Type(Face.TEXT, 44, Role.MUTED)
NAME = Type(Face.BOLD, 60, least=48)
NAME_IN_TWO = Type(Face.BOLD, 46)
INTERVAL = Type(Face.TEXT, 40, Role.MUTED)
PLACES = Type(Face.TEXT, 34)
FOOT = Type(Face.TEXT, 28, Role.MUTED)
LABEL = Type(Face.TEXT, 28, Role.MUTED)
FIGURES = Type(Face.NUMERALS, 28, Role.MUTED)


@dataclass(frozen=True)
class Around:
    """What is around a still; ``embargo`` is blank where all of it may be shown already.

    ``page`` is the address of the page that shows the same.
    """

    bench: str
    as_of: str
    notice: str
    embargo: str
    page: str


@dataclass(frozen=True)
class Headline:
    """The one figure of a still: whose, in what, the number, its interval, and what else to say."""

    title: str
    name: str
    value: str
    unit: str
    interval: str
    says: str


@dataclass(frozen=True)
class Room:
    """The part of a still between head and foot, inside the margins that players may cover."""

    width: int
    height: int
    left: int
    right: int
    top: int
    bottom: int

    @property
    def across(self) -> int:
        """Its width."""
        return self.right - self.left


WIDE = Room(1920, 1080, left=120, right=1800, top=356, bottom=980)
TALL = Room(1080, 1920, left=80, right=1000, top=700, bottom=1690)


def framed(room: Room, around: Around, headline: Headline, marks: Iterator[Mark]) -> Scene:
    """A whole still: head, what is special to it, foot."""
    head = _tall_head if room is TALL else _wide_head
    around_it = (*_top(room, around), *head(room, headline), *_foot(room, around))
    filled = (mark for mark in around_it if not isinstance(mark, TextLine) or mark.text)
    return Scene(room.width, room.height, (*filled, *marks))


def _top(room: Room, around: Around) -> Iterator[Mark]:
    y = 190 if room is TALL else 92
    half = room.across * 0.55
    yield BENCH.line(room.left, y, around.bench, half)
    beside = room.across - half - 30
    if not around.embargo:
        yield DATE.line(room.right, y, around.as_of, beside, Align.RIGHT)
    elif room is TALL:
        yield EMBARGO.line(room.left, y - 54, around.embargo, room.across)
    else:
        yield EMBARGO.line(room.right, y, around.embargo, beside, Align.RIGHT)
    yield from ticks(room.left, room.right, y + 20)


def _wide_head(room: Room, headline: Headline) -> Iterator[Mark]:
    value = _value(room.right, _above_comma(272, headline), headline, 150)
    yield from value
    words = (mark for mark in value if isinstance(mark, TextLine))
    beside = min((mark.left for mark in words), default=float(room.right)) - 40 - room.left
    yield TITLE.line(room.left, 190, headline.title, beside)
    yield from _name(room.left, 258, headline.name, beside)
    interval = INTERVAL.line(room.right, 326, headline.interval, 660, Align.RIGHT)
    yield interval
    yield PLACES.line(room.left, 326, headline.says, interval.left - 40 - room.left)


def _tall_head(room: Room, headline: Headline) -> Iterator[Mark]:
    yield TITLE.line(room.left, 296, headline.title, room.across)
    yield from _name(room.left, 366, headline.name, room.across)
    yield from _value(room.right, _above_comma(560, headline), headline, 170)
    yield INTERVAL.line(room.right, 616, headline.interval, room.across, Align.RIGHT)
    yield PLACES.line(room.left, 664, headline.says, room.across)


def _above_comma(y: int, headline: Headline) -> int:
    """Where a figure stands: higher with a comma, which would hang into the interval below it."""
    return y - 16 if "," in headline.value else y


def _name(x: int, y: int, name: str, room: float) -> Iterator[TextLine]:
    """The name in one line, smaller where that is enough, else in two."""
    if width_of(name, NAME.face, NAME.least) <= room:
        yield NAME.line(x, y, name, room)
    else:
        yield from NAME_IN_TWO.lines(x, y - 10, name, room, 2)


def _value(right: int, y: int, headline: Headline, size: int) -> tuple[Mark, ...]:
    """The number with its unit; the unit is never as loud."""
    unit = TextLine(right, y, headline.unit, size * 3 // 8, Face.TEXT, Role.INK, Align.RIGHT)
    end = round(right - unit.width - (size // 8 if headline.unit else 0))
    number = TextLine(end, y, headline.value, size, Face.NUMERALS, Role.INK, Align.RIGHT)
    return tuple(words for words in (unit, number) if words.text)


def _foot(room: Room, around: Around) -> Iterator[Mark]:
    y = 1736 if room is TALL else 1030
    if room is TALL:
        yield FOOT.line(room.left, y, around.page, room.across)
        yield FOOT.line(room.left, y + 40, around.notice, room.across)
        return
    notice = FOOT.line(room.right, y, around.notice, room.across / 2, Align.RIGHT)
    yield notice
    yield FOOT.line(room.left, y, around.page, room.across - notice.width - 40)


def marker(room: Room, top: int, height: int) -> Iterator[Box]:
    """The ground and the bar of the line that is looked at."""
    yield Box(room.left - 16, top, room.across + 32, height, Role.PANEL)
    yield Box(room.left - 16, top, 8, height, Role.ACCENT)
