"""The picture that other sites show when a page is linked to: a weigh ticket, enlarged.

In:  the page's words and, where it has one, its figure: a name, a number, its range.
Out: PNG bytes, 1200 by 630 pixels, always on light paper, legible at 360 pixels; drawn with the
     site's own faces, so that they do not depend on the fonts of the machine.
"""

from __future__ import annotations

import io
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from functools import cache
from itertools import groupby
from pathlib import Path

from PIL import Image, ImageColor, ImageDraw, ImageFont

from trialpress.charts.theme import COLOURS, shipped_templates

TICKET_WIDTH_PX, TICKET_HEIGHT_PX = 1200, 630
MARGIN = 60
ROOM = TICKET_WIDTH_PX - 2 * MARGIN
RULER_Y, TICK_STEP = 92, 9
PLACES_Y = 566
MOST_TICKS = 120
EDGE_STEPS = 12  # shades between a colour and the paper, for the edges of letters
ELLIPSIS = "\N{HORIZONTAL ELLIPSIS}"
FALLBACKS = (("latin-ext", 0x100, 0x24F), ("greek", 0x370, 0x3FF), ("cyrillic", 0x400, 0x52F))
"""Letters that the site's faces do not have: parts of Roboto Slab 5.3, beside this module."""
BASIC = frozenset(
    "".join(map(chr, range(0x20, 0x7F))) + "\N{NO-BREAK SPACE}°±²·×÷–—‘’“”…−"  # noqa: RUF001 -- what the face holds
)
"""The characters of the basic file of a face; others of Western Europe are in its ``-more``."""


class Face(Enum):
    """A face of the site, by the name of its file."""

    TEXT = "aleo-400"
    BOLD = "aleo-700"
    NUMERALS = "sometype-mono"

    @property
    def weight(self) -> int:
        """400 is regular, 700 bold."""
        return 700 if self is Face.BOLD else 400


@dataclass(frozen=True)
class TicketFigure:
    """What was asked for first: whose figure, in what, the number, its range, and its places.

    ``interval`` is blank where there is none; places are those of ``ranked`` that cannot be ruled
    out, and ``places`` says them in words.
    """

    name: str
    value: str
    unit: str
    interval: str
    place_best: int
    place_worst: int
    ranked: int
    places: str


@dataclass(frozen=True)
class Ticket:
    """What stands on a ticket; ``foot`` may be blank."""

    bench: str
    title: str
    sentence: str
    foot: str
    figure: TicketFigure | None = None


def draw_ticket(ticket: Ticket) -> bytes:
    """Draw one ticket, its words cut to the room there is; the same words give the same bytes."""
    picture = Image.new("RGB", (TICKET_WIDTH_PX, TICKET_HEIGHT_PX), COLOURS.paper)
    pen = Pen(ImageDraw.Draw(picture))
    pen.write((MARGIN, 72), fitted(ticket.bench, Face.BOLD, 32, ROOM), Face.BOLD, 32)
    _ruler(pen)
    if ticket.figure is None:
        _words(pen, ticket)
    else:
        _figure(pen, ticket.title, ticket.figure)
    foot = fitted(ticket.foot, Face.TEXT, 20, ROOM)
    pen.write((MARGIN, TICKET_HEIGHT_PX - 16), foot, Face.TEXT, 20, COLOURS.muted)
    target = io.BytesIO()
    picture.quantize(palette=_palette(), dither=Image.Dither.NONE).save(target, "PNG")
    return target.getvalue()


@cache
def _palette() -> Image.Image:
    """The few colours of every ticket, each in steps to the paper."""
    paper = ImageColor.getrgb(COLOURS.paper)
    shades = [
        round(end + (start - end) * step / EDGE_STEPS)
        for colour in (COLOURS.ink, COLOURS.muted, COLOURS.accent)
        for step in range(1, EDGE_STEPS + 1)
        for start, end in zip(ImageColor.getrgb(colour), paper, strict=True)
    ]
    palette = Image.new("P", (1, 1))
    palette.putpalette([*paper, *shades])
    return palette


@dataclass(frozen=True)
class Pen:
    """Writes on a picture; points are at the left of the base line."""

    draw: ImageDraw.ImageDraw

    def write(
        self, point: tuple[int, int], text: str, face: Face, size: int, colour: str = COLOURS.ink
    ) -> int:
        """Write a line; returns where it ends."""
        x = float(point[0])
        for run, font in _runs(text, face, size):
            self.draw.text((x, point[1]), run, fill=colour, font=font, anchor="ls")
            x += font.getlength(run)
        return round(x)


def width_of(text: str, face: Face, size: int) -> float:
    """How wide a line is, in pixels."""
    return sum(font.getlength(run) for run, font in _runs(text, face, size))


def fitted(text: str, face: Face, size: int, room: float) -> str:
    """The text, or its beginning with an ellipsis."""
    if width_of(text, face, size) <= room:
        return text
    beginnings = [text[:end].rstrip() + ELLIPSIS for end in range(len(text))]
    # A longer beginning is wider, so few of them need to be measured: that is the dear part.
    wider = bisect_right(beginnings, room, key=lambda line: width_of(line, face, size))
    return beginnings[max(wider - 1, 0)]


def wrapped(text: str, face: Face, size: int, most: int) -> list[str]:
    """Lines of whole words; the last one is cut where the text has more of them."""
    lines: list[str] = []
    rest = text.split()
    while rest and len(lines) < most - 1:
        taken = 1
        while taken < len(rest) and width_of(" ".join(rest[: taken + 1]), face, size) <= ROOM:
            taken += 1
        lines.append(fitted(" ".join(rest[:taken]), face, size, ROOM))
        rest = rest[taken:]
    return [*lines, fitted(" ".join(rest), face, size, ROOM)] if rest else lines


def _runs(text: str, face: Face, size: int) -> Iterator[tuple[str, ImageFont.FreeTypeFont]]:
    """The text in parts, each with the file that has its characters."""
    for part, letters in groupby(text, key=_part):
        yield "".join(letters), _font(face, size, part)


def _part(letter: str) -> str:
    if letter in BASIC:
        return ""
    code = ord(letter)
    return next((name for name, first, last in FALLBACKS if first <= code <= last), "more")


@cache
def _font(face: Face, size: int, part: str) -> ImageFont.FreeTypeFont:
    own = shipped_templates() / "static" / "fonts"
    file = {
        "": own / f"{face.value}.woff2",
        "more": own / f"{face.value}-more.woff2",
    }.get(part, Path(__file__).with_name("faces") / f"roboto-slab-{part}-{face.weight}.woff2")
    return ImageFont.truetype(str(file), size, layout_engine=ImageFont.Layout.BASIC)


def _ruler(pen: Pen) -> None:
    """Under the name of the bench the ticks of a scale."""
    right = TICKET_WIDTH_PX - MARGIN
    pen.draw.line((MARGIN, RULER_Y, right, RULER_Y), COLOURS.ink, 2)
    for number, x in enumerate(range(MARGIN, right + 1, TICK_STEP)):
        height = 14 if number % 10 == 0 else 7
        pen.draw.line((x, RULER_Y, x, RULER_Y + height), COLOURS.ink, 1)


def _words(pen: Pen, ticket: Ticket) -> None:
    """A page without a figure: its title and its sentence, large."""
    title = wrapped(ticket.title, Face.BOLD, 72, 3)
    for number, line in enumerate(title):
        pen.write((MARGIN, 210 + 84 * number), line, Face.BOLD, 72)
    for number, line in enumerate(wrapped(ticket.sentence, Face.TEXT, 36, 6 - len(title))):
        y = 210 + 84 * len(title) + 46 * number
        pen.write((MARGIN, y), line, Face.TEXT, 36, COLOURS.muted)


def _figure(pen: Pen, title: str, figure: TicketFigure) -> None:
    """Title, name, the number with its range, and the places as a bracket over ticks."""
    pen.write((MARGIN, 168), fitted(title, Face.TEXT, 44, ROOM), Face.TEXT, 44, COLOURS.muted)
    name = fitted(figure.name, Face.BOLD, 62, ROOM)
    pen.write((MARGIN, 244), name, Face.BOLD, 62)
    right = pen.write((MARGIN, 418), figure.value, Face.NUMERALS, 170)
    right = pen.write((right + 18, 418), figure.unit, Face.TEXT, 64)
    interval = fitted(figure.interval, Face.NUMERALS, 54, TICKET_WIDTH_PX - MARGIN - right - 56)
    pen.write((right + 56, 418), interval, Face.NUMERALS, 54, COLOURS.muted)
    words = fitted(figure.places, Face.TEXT, 40, ROOM)
    pen.write((MARGIN, 494), words, Face.TEXT, 40)
    _places(pen, figure)


def _places(pen: Pen, figure: TicketFigure) -> None:
    """A tick a place, and over them the bracket of those that are not ruled out."""
    step = ROOM / max(figure.ranked, 12)
    if figure.ranked <= MOST_TICKS:
        for place in range(figure.ranked):
            x = MARGIN + round(step * (place + 0.5))
            pen.draw.line((x, PLACES_Y, x, PLACES_Y + 12), COLOURS.muted, 2)
    left = MARGIN + round(step * (figure.place_best - 1)) + 2
    right = max(MARGIN + round(step * figure.place_worst) - 2, left + 4)
    top = PLACES_Y - 26
    for line in (
        (left, top, right, top),
        (left, top, left, top + 18),
        (right, top, right, top + 18),
    ):
        pen.draw.line(line, COLOURS.accent, 5)
