"""The site's own faces for pictures: how wide words are, cut and broken to the room there is.

In:  text, a face, a size in pixels.
Out: widths and lines; parts of a line, each with the font that has its characters. Nothing depends
     on the fonts of the machine.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from enum import Enum
from functools import cache, lru_cache
from itertools import groupby
from pathlib import Path

from PIL import ImageFont

from trialpress.charts.theme import shipped_templates

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


@lru_cache(maxsize=8192)
def width_of(text: str, face: Face, size: int) -> float:
    """How wide a line is, in pixels."""
    return sum(font.getlength(run) for run, font in runs_of(text, face, size))


def fitted(text: str, face: Face, size: int, room: float) -> str:
    """The text, or its beginning with an ellipsis."""
    if width_of(text, face, size) <= room:
        return text
    beginnings = [text[:end].rstrip() + ELLIPSIS for end in range(len(text))]
    # A longer beginning is wider, so few of them need to be measured: that is the dear part.
    wider = bisect_right(beginnings, room, key=lambda line: width_of(line, face, size))
    return beginnings[max(wider - 1, 0)]


def wrapped(text: str, face: Face, size: int, room: float, most: int) -> list[str]:
    """At most so many lines of whole words; the last one is cut where the text has more of them."""
    lines: list[str] = []
    rest = text.split()
    while rest and len(lines) < most - 1:
        taken = 1
        while taken < len(rest) and width_of(" ".join(rest[: taken + 1]), face, size) <= room:
            taken += 1
        lines.append(fitted(" ".join(rest[:taken]), face, size, room))
        rest = rest[taken:]
    return [*lines, fitted(" ".join(rest), face, size, room)] if rest else lines


def runs_of(text: str, face: Face, size: int) -> Iterator[tuple[str, ImageFont.FreeTypeFont]]:
    """The text in parts, each with the file that has its characters."""
    for part, letters in groupby(text, key=_part):
        yield "".join(letters), font_of(face, size, part)


def _part(letter: str) -> str:
    if letter in BASIC:
        return ""
    code = ord(letter)
    return next((name for name, first, last in FALLBACKS if first <= code <= last), "more")


@cache
def font_of(face: Face, size: int, part: str) -> ImageFont.FreeTypeFont:
    """The font for one part of the letters, in one size; opened once."""
    own = shipped_templates() / "static" / "fonts"
    file = {
        "": own / f"{face.value}.woff2",
        "more": own / f"{face.value}-more.woff2",
    }.get(part, Path(__file__).with_name("faces") / f"roboto-slab-{part}-{face.weight}.woff2")
    return ImageFont.truetype(str(file), size, layout_engine=ImageFont.Layout.BASIC)
