"""The picture that other sites show when a page is linked to: a weigh ticket, enlarged.

In:  the page's words and, where it has one, its figure: a name, a number, its range.
Out: PNG bytes, 1200 by 630 pixels, always on light paper, legible at 360 pixels; drawn with the
     site's own faces, so that they do not depend on the fonts of the machine.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import cache

from PIL import Image, ImageColor, ImageDraw

from trialpress.charts.theme import COLOURS
from trialpress.charts.typesetting import Face, fitted, runs_of, width_of, wrapped

TICKET_WIDTH_PX, TICKET_HEIGHT_PX = 1200, 630
MARGIN = 60
ROOM = TICKET_WIDTH_PX - 2 * MARGIN
RULER_Y, TICK_STEP = 92, 9
PLACES_Y = 566
MOST_TICKS = 120
FOOT_SIZE = 26  # 8 pixels where the picture is 360 wide
EDGE_STEPS = 12  # shades between a colour and the paper, for the edges of letters


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
    foot = fitted(ticket.foot, Face.TEXT, FOOT_SIZE, ROOM)
    pen.write((MARGIN, TICKET_HEIGHT_PX - 16), foot, Face.TEXT, FOOT_SIZE, COLOURS.muted)
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
        for run, font in runs_of(text, face, size):
            self.draw.text((x, point[1]), run, fill=colour, font=font, anchor="ls")
            x += width_of(run, face, size)
        return round(x)


def _ruler(pen: Pen) -> None:
    """Under the name of the bench the ticks of a scale."""
    right = TICKET_WIDTH_PX - MARGIN
    pen.draw.line((MARGIN, RULER_Y, right, RULER_Y), COLOURS.ink, 2)
    for number, x in enumerate(range(MARGIN, right + 1, TICK_STEP)):
        height = 14 if number % 10 == 0 else 7
        pen.draw.line((x, RULER_Y, x, RULER_Y + height), COLOURS.ink, 1)


def _words(pen: Pen, ticket: Ticket) -> None:
    """A page without a figure: its title and its sentence, large."""
    title = wrapped(ticket.title, Face.BOLD, 72, ROOM, 3)
    for number, line in enumerate(title):
        pen.write((MARGIN, 210 + 84 * number), line, Face.BOLD, 72)
    for number, line in enumerate(wrapped(ticket.sentence, Face.TEXT, 36, ROOM, 6 - len(title))):
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
