"""A scene as PNG, on paper or on nothing.

In:  a scene, a palette and how many times its size it is wanted in.
Out: PNG bytes; the same scene gives the same bytes. Words are drawn with the site's own faces.

Edges of letters and dots have sixteen shades, which no eye tells from more: so a still has few
colours, and its file is a fraction of what it would be.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping
from functools import lru_cache

import numpy as np
from PIL import Image, ImageColor, ImageDraw, ImageFont

from trialpress.charts import Palette
from trialpress.charts.typesetting import runs_of, width_of
from trialpress.kit.scene import Align, Box, Dot, Mark, Role, Scene, TextLine

SHADE = 17  # 255 is 15 of them
FINER = 8  # a dot is drawn this many times larger, then made smaller
MOST_COLOURS = 256
STARTS = {Align.LEFT: 0.0, Align.MIDDLE: 0.5, Align.RIGHT: 1.0}
Rgba = tuple[int, int, int, int]


class Canvas:
    """A still being drawn: nothing but its marks, on transparent ground."""

    def __init__(self, scene: Scene, palette: Palette, times: int = 1) -> None:
        """Draw the whole scene in ``times`` its size."""
        self._times = times
        self._size = (scene.width * times, scene.height * times)
        self._colours: Mapping[str, Rgba] = {
            role: (*ImageColor.getrgb(colour)[:3], 255) for role, colour in palette.roles()
        }
        self._picture = Image.new("RGBA", self._size)
        self.add(scene.marks)

    def add(self, marks: Iterable[Mark]) -> None:
        """Draw more on top."""
        pen = ImageDraw.Draw(self._picture)
        for mark in marks:
            match mark:
                case Box():
                    self._box(pen, mark)
                case Dot():
                    self._dot(mark)
                case TextLine():
                    self._words(mark)

    def png(self, *, is_opaque: bool) -> bytes:
        """What is drawn so far, on paper or on nothing."""
        picture = self._picture
        if is_opaque:
            paper = Image.new("RGBA", self._size, self._colours[Role.PAPER])
            picture = Image.alpha_composite(paper, picture)
        target = io.BytesIO()
        few = _in_few_colours(picture)
        if few is None:
            few = picture.convert("RGB") if is_opaque else picture
        elif is_opaque:
            del few.info["transparency"]
        few.save(target, "PNG")
        return target.getvalue()

    def _box(self, pen: ImageDraw.ImageDraw, box: Box) -> None:
        t = self._times
        right, bottom = (box.x + box.width) * t - 1, (box.y + box.height) * t - 1
        pen.rectangle((box.x * t, box.y * t, right, bottom), self._colours[box.role])

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
            self._run(run, font, x, words.y * t, words.role)
            x += font.getlength(run)

    def _run(self, run: str, font: ImageFont.FreeTypeFont, x: float, y: int, role: Role) -> None:
        left, top, right, bottom = (round(edge) for edge in font.getbbox(run, anchor="ls"))
        if right <= left or bottom <= top:  # a space
            return
        mask = Image.new("L", (right - left + 2, bottom - top + 2))
        pen = ImageDraw.Draw(mask)
        pen.text((1 - left + x % 1, 1 - top), run, fill=255, font=font, anchor="ls")
        self._cover(mask.point(_in_shades), int(x) + left - 1, y + top - 1, role)

    def _cover(self, mask: Image.Image, x: int, y: int, role: Role) -> None:
        """Lay a colour over what is there, as much of it as the mask says."""
        tile = Image.new("RGBA", mask.size, self._colours[role])
        tile.putalpha(mask)
        from_x, from_y = max(-x, 0), max(-y, 0)
        if from_x < mask.width and from_y < mask.height:
            self._picture.alpha_composite(tile, (max(x, 0), max(y, 0)), (from_x, from_y))


def _in_shades(value: int) -> int:
    return round(value / SHADE) * SHADE


@lru_cache(maxsize=64)
def _disc_mask(radius: int) -> Image.Image:
    edge = 2 * radius
    large = Image.new("L", (edge * FINER, edge * FINER))
    ImageDraw.Draw(large).ellipse((0, 0, edge * FINER - 1, edge * FINER - 1), fill=255)
    return large.resize((edge, edge), Image.Resampling.BOX).point(_in_shades)


def _in_few_colours(picture: Image.Image) -> Image.Image | None:
    """The picture by the numbers of its colours, in their order; None where there are too many."""
    found = picture.getcolors(MOST_COLOURS)
    if found is None:
        return None
    pixels = np.asarray(picture).view("<u4")[..., 0]
    colours = np.unique(np.array([colour for _, colour in found], np.uint8).view("<u4"))
    numbered = Image.fromarray(np.searchsorted(colours, pixels).astype(np.uint8), "P")
    bands = colours.view(np.uint8).reshape(-1, 4)
    numbered.putpalette(bands[:, :3].tobytes())
    numbered.info["transparency"] = bands[:, 3].tobytes()
    return numbered
