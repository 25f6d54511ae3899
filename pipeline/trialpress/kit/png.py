"""A scene as PNG files: drawn once, then coloured for each palette, on paper or on nothing.

In:  a scene, and how many times its size it is wanted in; a palette for each file.
Out: PNG bytes; the same scene gives the same bytes. Words are drawn with the site's own faces.

A pixel is the number of a *blend*: which role covers how much of which blend below it. So all files
of one scene share their pixels, which are drawn and squeezed once; only their list of colours
differs. Edges of letters and dots have fifteen shades, which no eye tells from more: so a still has
few blends, and its file is a fraction of what it would be.
"""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageColor, ImageDraw, ImageFont

from trialpress.charts import Palette
from trialpress.charts.typesetting import runs_of, width_of
from trialpress.kit.scene import Align, Box, Dot, Mark, Role, Scene, TextLine

SHADES = 15
FINER = 8  # a dot is drawn this many times larger, then made smaller
MOST_COLOURS = 256  # of a PNG with a list of them
STARTS = {Align.LEFT: 0.0, Align.MIDDLE: 0.5, Align.RIGHT: 1.0}
SIGNATURE = b"\x89PNG\r\n\x1a\n"
NUMBERED_COLOURS, ROWS_AS_THEY_ARE = 3, 0
Numbers = NDArray[np.uint16]
Masks = NDArray[np.uint8]
Rgba = tuple[int, int, int, int]


@dataclass(frozen=True)
class Blend:
    """A role over a blend below it, which has a lower number; ``shade`` is 1 to 15 of 15."""

    below: int
    role: Role
    shade: int


class Canvas:
    """A still being drawn: nothing but its marks, in no colours yet."""

    def __init__(self, scene: Scene, times: int = 1) -> None:
        """Draw the whole scene in ``times`` its size."""
        self._times = times
        self._pixels: Numbers = np.zeros((scene.height * times, scene.width * times), np.uint16)
        self._numbers: dict[Blend, int] = {}
        for mark in scene.marks:
            self._add(mark)

    def png(self, palette: Palette, *, is_opaque: bool) -> bytes:
        """What is drawn, in the colours of a palette, on paper or on nothing."""
        colours = self._colours(palette, is_opaque=is_opaque)
        if len(colours) > MOST_COLOURS:
            return _png_of_pixels(np.array(colours, np.uint8)[self._pixels], is_opaque=is_opaque)
        height, width = self._pixels.shape
        return _png_of_numbers((width, height), colours, self._squeezed, is_opaque=is_opaque)

    def _add(self, mark: Mark) -> None:
        match mark:
            case Box():
                self._box(mark)
            case Dot():
                self._dot(mark)
            case TextLine():
                self._words(mark)

    def _box(self, box: Box) -> None:
        t = self._times
        left, top = max(box.x, 0) * t, max(box.y, 0) * t
        right, bottom = (box.x + box.width) * t, (box.y + box.height) * t
        self._pixels[top:bottom, left:right] = self._number(Blend(0, box.role, SHADES))

    def _dot(self, dot: Dot) -> None:
        t = self._times
        self._disc(dot.x * t, dot.y * t, dot.radius * t, dot.role)
        if dot.is_open:
            self._disc(dot.x * t, dot.y * t, (dot.radius - max(dot.radius // 3, 2)) * t, Role.PAPER)

    def _disc(self, x: int, y: int, radius: int, role: Role) -> None:
        self._cover(_disc_mask(radius), x - radius, y - radius, role)

    def _words(self, words: TextLine) -> None:
        t = self._times
        size = words.size * t
        x = words.x * t - STARTS[words.align] * width_of(words.text, words.face, size)
        for run, font in runs_of(words.text, words.face, size):
            letters = _letters(run, font, x % 1)
            left, top = int(x) + letters.left, words.y * t + letters.top
            self._cover(letters.mask, left, top, words.role)
            x += letters.width

    def _cover(self, mask: Masks, x: int, y: int, role: Role) -> None:
        """Lay a role over what is there, as much of it as the mask says."""
        height, width = mask.shape
        below = self._pixels[max(y, 0) : max(y + height, 0), max(x, 0) : max(x + width, 0)]
        shades = mask[max(-y, 0) :, max(-x, 0) :][: below.shape[0], : below.shape[1]]
        pairs = below.astype(np.intp) * (SHADES + 1) + shades
        blended = np.zeros((len(self._numbers) + 1) * (SHADES + 1), np.uint16)
        is_there = np.zeros(len(blended), np.bool_)
        is_there[pairs] = True
        for pair in np.flatnonzero(is_there).tolist():
            under, shade = divmod(pair, SHADES + 1)
            blended[pair] = self._number(Blend(under, role, shade)) if shade else under
        below[...] = blended[pairs]

    def _number(self, blend: Blend) -> int:
        """The number of a blend, a new one where it is new; what is covered wholly is forgotten."""
        if blend.shade == SHADES:
            blend = Blend(0, blend.role, SHADES)
        return self._numbers.setdefault(blend, len(self._numbers) + 1)

    @cached_property
    def _squeezed(self) -> bytes:
        """The pixels as a PNG holds them, where there are few enough blends."""
        height, width = self._pixels.shape
        rows = np.full((height, width + 1), ROWS_AS_THEY_ARE, np.uint8)
        rows[:, 1:] = self._pixels
        return zlib.compress(rows.data, 6)

    def _colours(self, palette: Palette, *, is_opaque: bool) -> list[Rgba]:
        """The colour of every blend, by its number."""
        roles = {role: ImageColor.getrgb(colour)[:3] for role, colour in palette.roles()}
        colours: list[Rgba] = [(0, 0, 0, 0)]
        for blend in self._numbers:
            colours.append(_over(roles[blend.role], blend.shade / SHADES, colours[blend.below]))
        if not is_opaque:
            return colours
        bare = Image.fromarray(np.array([colours], np.uint8), "RGBA")
        paper = Image.new("RGBA", bare.size, palette.paper)
        on_paper = np.asarray(Image.alpha_composite(paper, bare))[0]
        return [(red, green, blue, alpha) for red, green, blue, alpha in on_paper.tolist()]


def _over(colour: tuple[int, ...], cover: float, below: Rgba) -> Rgba:
    """A colour that covers another in part.

    Notes
    -----
    Source: W3C, Compositing and Blending Level 1, "source over", not multiplied by alpha.
    """
    let_through = below[3] / 255 * (1 - cover)
    alpha = cover + let_through
    red, green, blue = (
        round((mine * cover + theirs * let_through) / alpha)
        for mine, theirs in zip(colour, below[:3], strict=True)
    )
    return red, green, blue, round(alpha * 255)


def _in_shades(mask: Image.Image) -> Masks:
    """How much of each pixel is covered, in fifteenths."""
    return np.asarray(mask.point(lambda value: round(value * SHADES / 255)))


@dataclass(frozen=True)
class Letters:
    """Letters of one font: where their mask lies from the start of their base line; their width."""

    mask: Masks
    left: int
    top: int
    width: float


@lru_cache(maxsize=1024)
def _letters(run: str, font: ImageFont.FreeTypeFont, starts_at: float) -> Letters:
    left, top, right, bottom = (round(edge) for edge in font.getbbox(run, anchor="ls"))
    width = font.getlength(run)
    if right <= left or bottom <= top:  # a space
        return Letters(np.zeros((0, 0), np.uint8), 0, 0, width)
    mask = Image.new("L", (right - left + 2, bottom - top + 2))
    start = (1 - left + starts_at, 1 - top)
    ImageDraw.Draw(mask).text(start, run, fill=255, font=font, anchor="ls")
    return Letters(_in_shades(mask), left - 1, top - 1, width)


@lru_cache(maxsize=64)
def _disc_mask(radius: int) -> Masks:
    edge = 2 * radius
    large = Image.new("L", (edge * FINER, edge * FINER))
    ImageDraw.Draw(large).ellipse((0, 0, edge * FINER - 1, edge * FINER - 1), fill=255)
    return _in_shades(large.resize((edge, edge), Image.Resampling.BOX))


def _png_of_numbers(
    size: tuple[int, int], colours: Sequence[Rgba], squeezed: bytes, *, is_opaque: bool
) -> bytes:
    """A PNG whose pixels are places in a list of colours.

    Notes
    -----
    Source: W3C, Portable Network Graphics (PNG) Specification, Third Edition, 5 and 11.
    """
    head = struct.pack(">2I5B", *size, 8, NUMBERED_COLOURS, 0, 0, 0)
    alphas = b"" if is_opaque else _chunk(b"tRNS", bytes(colour[3] for colour in colours))
    listed = bytes(part for colour in colours for part in colour[:3])
    chunks = (_chunk(b"IHDR", head), _chunk(b"PLTE", listed), alphas, _chunk(b"IDAT", squeezed))
    return b"".join((SIGNATURE, *chunks, _chunk(b"IEND", b"")))


def _chunk(kind: bytes, content: bytes) -> bytes:
    check = zlib.crc32(kind + content)
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", check)


def _png_of_pixels(pixels: Masks, *, is_opaque: bool) -> bytes:
    picture = Image.fromarray(pixels, "RGBA")
    target = io.BytesIO()
    (picture.convert("RGB") if is_opaque else picture).save(target, "PNG")
    return target.getvalue()
