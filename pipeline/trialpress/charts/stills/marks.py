"""The marks of pictures, as SVG.

In:  places in pixels, words, colours of the palette.
Out: text of elements; nothing where there is no mark. Attributes alone, as a page allows no styles.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

from trialpress.charts.theme import COLOURS, SMALL_TEXT_SIZE, TEXT_SIZE

LINE_HEIGHT = SMALL_TEXT_SIZE + 2
DOT_RADIUS = 3.94
"""Vega's circle of 62 square pixels, a square as wide as it."""
BASELINE = 4
"""From the middle of a line of text to where its letters stand."""
ASCENT = 9
"""The same from its upper edge."""


@dataclass(frozen=True)
class Drawing:
    """Marks, and the box around them."""

    width: int
    height: int
    marks: str


@dataclass(frozen=True)
class Word:
    """A line of text at a point; ``anchor`` is which part of it stands there."""

    x: float
    y: float
    text: str
    anchor: str = "start"


def px(value: float) -> str:
    """A hundredth of a pixel is enough."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def across(x: float, y: float, x2: float) -> str:
    """A path from left to right."""
    return f"M{px(x)} {px(y)}H{px(x2)}"


def down(x: float, y: float, y2: float) -> str:
    """A path from above to below."""
    return f"M{px(x)} {px(y)}V{px(y2)}"


def box(x: float, y: float, x2: float, y2: float) -> str:
    """The path around a box."""
    return f"M{px(x)} {px(y)}H{px(x2)}V{px(y2)}H{px(x)}Z"


def through(points: Iterable[tuple[float, float]]) -> str:
    """A path from point to point."""
    return "".join(
        f"{'L' if number else 'M'}{px(x)} {px(y)}" for number, (x, y) in enumerate(points)
    )


def strokes(
    paths: Iterable[str],
    colour: str = COLOURS.ink,
    width: float = 2,
    *,
    dash: str = "",
    fill: str = "",
) -> str:
    """Paths of one look."""
    drawn = "".join(paths)
    if not drawn:
        return ""
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    filled = f' fill="{fill}"' if fill else ""
    return f'<path d="{drawn}"{filled} stroke="{colour}" stroke-width="{px(width)}"{dashed}/>'


def areas(paths: Iterable[str], colour: str) -> str:
    """Filled paths."""
    drawn = "".join(paths)
    return f'<path d="{drawn}" fill="{colour}"/>' if drawn else ""


def dot(x: float, y: float, fill: str, *, is_square: bool = False) -> str:
    """A circle, or a square as large, to stand in ``dots``."""
    if is_square:
        reach = DOT_RADIUS
        return f'<path d="{box(x - reach, y - reach, x + reach, y + reach)}" fill="{fill}"/>'
    return f'<circle cx="{px(x)}" cy="{px(y)}" r="{DOT_RADIUS}" fill="{fill}"/>'


def dots(drawn: Iterable[str], width: float = 2) -> str:
    """Circles and squares with one outline."""
    marks = "".join(drawn)
    return f'<g stroke="{COLOURS.ink}" stroke-width="{px(width)}">{marks}</g>' if marks else ""


def cross(x: float, y: float, reach: float) -> str:
    """The path of a cross, ``reach`` to each side."""
    left, right, top, bottom = x - reach, x + reach, y - reach, y + reach
    return through([(left, top), (right, bottom)]) + through([(left, bottom), (right, top)])


def words(
    lines: Iterable[Word],
    colour: str = COLOURS.ink,
    size: int = TEXT_SIZE,
    *,
    outline: tuple[str, float] | None = None,
    role: str = "",
) -> str:
    """Lines of one look; ``y`` of each is where its letters stand."""
    drawn = "".join(_line(line) for line in lines)
    if not drawn:
        return ""
    around = f' stroke="{outline[0]}" stroke-width="{px(outline[1])}"' if outline else ""
    classed = f' class="{role}"' if role else ""
    return f'<g{classed} fill="{colour}" font-size="{size}px"{around}>{drawn}</g>'


def _line(line: Word) -> str:
    anchor = "" if line.anchor == "start" else f' text-anchor="{line.anchor}"'
    return (
        f'<text x="{px(line.x)}" y="{px(line.y)}"{anchor}>{escape(line.text, quote=False)}</text>'
    )


def heading(text: str, bottom: float) -> str:
    """The lines over a panel, the last of which ends at ``bottom``; quiet, as in a table."""
    first = bottom - heading_height(text) + ASCENT
    begins = "", *(f' x="0" dy="{LINE_HEIGHT}"' for _ in range(text.count("\n")))
    lines = "".join(
        f"<tspan{begin}>{escape(line, quote=False)}</tspan>"
        for begin, line in zip(begins, text.split("\n"), strict=True)
    )
    look = f'fill="{COLOURS.muted}" font-size="{SMALL_TEXT_SIZE}px"'
    return f'<text y="{px(first)}" {look}>{lines}</text>'


def heading_height(text: str) -> int:
    """In pixels."""
    return SMALL_TEXT_SIZE + LINE_HEIGHT * text.count("\n")


def moved(marks: str, x: float, y: float) -> str:
    """Marks in another place."""
    return f'<g transform="translate({px(x)},{px(y)})">{marks}</g>'


def turned(marks: str, x: float, y: float) -> str:
    """Marks in another place, read from below to above."""
    return f'<g transform="translate({px(x)},{px(y)}) rotate(-90)">{marks}</g>'
