"""Pictures of floors and of a balance, drawn so that they look like snapshots from the hall.

In:  a stream of random numbers, and what the run left behind or what the balance showed.
Out: pictures of 640 by 420 pixels. No font is used, so they need none.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

Colour = tuple[int, int, int]
_WIDTH, _HEIGHT = 640, 420
_MOSS, _DUST = (104, 116, 84), (214, 204, 182)
_BOARD, _GAP, _GRIT = (178, 146, 108), (58, 44, 32), (112, 112, 116)
_TILE, _JOINT, _BEET = (206, 208, 204), (166, 168, 164), (132, 34, 66)
_RIB, _GROOVE, _HAIR = (92, 90, 88), (64, 62, 62), (214, 190, 150)
_BENCH = (158, 164, 160)
_STEEL, _PLATE, _CASE = (150, 154, 158), (196, 200, 202), (62, 68, 74)
_GLASS, _LIT, _UNLIT = (186, 198, 172), (34, 40, 34), (174, 186, 161)

# Segments that are lit: top, upper left, upper right, middle, lower left, lower right, bottom.
_SEGMENTS = {
    "0": "1110111",
    "1": "0010010",
    "2": "1011101",
    "3": "1011011",
    "4": "0111010",
    "5": "1101011",
    "6": "1101111",
    "7": "1010010",
    "8": "1111111",
    "9": "1111011",
}


def rug_picture(draws: np.random.Generator, left_pct: float) -> Image.Image:
    """A tufted rug with as much dust on it as a share of the dose."""
    tufts = _cloud(draws, 1.6)
    rows = np.sin(np.arange(_HEIGHT) * 2 * np.pi / 9.0)[:, None]
    pile = _tinted(_MOSS, 8.0 * tufts + 7.0 * rows + 3.0 * _cloud(draws, 9.0))
    lane = np.exp(-(((np.arange(_WIDTH) - _WIDTH / 2) / 190.0) ** 4))[None, :]
    drift = np.clip(0.8 + 0.2 * _cloud(draws, 20.0) + 0.12 * tufts, 0.0, 1.1)
    return _finished(_blend(pile, _DUST, drift * lane * 0.85 * (left_pct / 100) ** 0.8), draws)


def boards_picture(draws: np.random.Generator, left_pct: float) -> Image.Image:
    """Boards with gaps across the lane, grit left in some of them."""
    grain = _cloud(draws, 1.0)
    grain = 0.5 * grain + np.cumsum(draws.normal(0, 0.10, (_HEIGHT, 1)), axis=0)
    picture = _image(_tinted(_BOARD, 11.0 * grain))
    pen = ImageDraw.Draw(picture)
    for number in range(11):
        x = 40 + number * 56
        pen.rectangle((x - 4, 0, x + 4, _HEIGHT), fill=_GAP)
        for _ in range(int(draws.poisson(left_pct * 7))):
            y, radius = draws.uniform(20, _HEIGHT - 20), draws.uniform(0.8, 2.2)
            _dot(pen, x + draws.uniform(-3, 3), y, radius, _GRIT)
    return _finished(np.asarray(picture, dtype=np.float64), draws)


def stain_picture(draws: np.random.Generator, grades: Sequence[int]) -> Image.Image:
    """Tiles with a patch of beet film in each zone, as dark as its grade."""
    floor = np.full((_HEIGHT, _WIDTH, 3), _TILE, dtype=np.float64)
    floor += 5.0 * _cloud(draws, 22.0)[..., None] + 2.0 * _cloud(draws, 0.8)[..., None]
    y, x = np.mgrid[0:_HEIGHT, 0:_WIDTH]
    for zone, grade in enumerate(grades):
        centre_x, centre_y = 64 + 128 * (zone % 5), 52 + 105 * (zone // 5)
        ragged = np.hypot(x - centre_x, y - centre_y) + 5.0 * _cloud(draws, 8.0)
        inside = 1.0 / (1.0 + np.exp((ragged - 27.0) / 2.0))
        floor = _blend(floor, _BEET, inside * (0.0, 0.10, 0.28, 0.52, 0.80)[grade])
    picture = _image(floor)
    pen = ImageDraw.Draw(picture)
    for line in (128, 256, 384, 512):
        pen.line((line, 0, line, _HEIGHT), fill=_JOINT, width=3)
    for line in (105, 210, 315):
        pen.line((0, line, _WIDTH, line), fill=_JOINT, width=3)
    return _finished(np.asarray(picture, dtype=np.float64), draws)


def hair_picture(draws: np.random.Generator, strands: int) -> Image.Image:
    """A ribbed mat with the strands that lie on it."""
    ribs = np.sin(np.arange(_HEIGHT) * 2 * np.pi / 14.0)[:, None] * np.ones(_WIDTH)
    mat = _blend(_tinted(_RIB, 9.0 * _cloud(draws, 1.2)), _GROOVE, np.clip(ribs, 0.0, 1.0))
    picture = _image(mat).resize((2 * _WIDTH, 2 * _HEIGHT))
    pen = ImageDraw.Draw(picture)
    along = np.linspace(0.0, 1.0, 60)
    for _ in range(strands):
        start, heading = draws.uniform((160, 120), (1040, 720)), draws.uniform(0, 2 * np.pi)
        bend = heading + draws.normal(0, 1.6) * along + draws.normal(0, 0.8) * along**2
        steps = 4.2 * np.column_stack((np.cos(bend), np.sin(bend)))
        points = start + np.cumsum(steps, axis=0)
        pen.line([(float(px), float(py)) for px, py in points], fill=_HAIR, width=3)
    small = picture.resize((_WIDTH, _HEIGHT), Image.Resampling.LANCZOS)
    return _finished(np.asarray(small, dtype=np.float64), draws)


def balance_picture(draws: np.random.Generator, reading: str) -> Image.Image:
    """A dust container on the plate of a balance, with the reading on its display."""
    bench = _image(_tinted(_BENCH, 2.0 * _cloud(draws, 1.0) + 3.0 * _cloud(draws, 40.0)))
    pen = ImageDraw.Draw(bench)
    pen.polygon(((96, 392), (544, 392), (512, 214), (128, 214)), fill=_CASE)
    pen.rounded_rectangle((120, 176, 520, 224), 22, fill=_STEEL)
    pen.ellipse((124, 160, 516, 206), fill=_PLATE)
    pen.rounded_rectangle((222, 46, 418, 188), 26, fill=(88, 102, 112))
    pen.rounded_rectangle((234, 58, 406, 150), 18, fill=(132, 148, 156))
    pen.ellipse((240, 118, 400, 150), fill=_DUST)
    pen.rounded_rectangle((176, 262, 464, 352), 10, fill=_GLASS)
    _show(pen, reading, right=440, top=278)
    return _finished(np.asarray(bench, dtype=np.float64), draws)


def _show(pen: ImageDraw.ImageDraw, reading: str, *, right: int, top: int) -> None:
    """Seven-segment digits, flush right."""
    x = right
    for symbol in reversed(reading):
        if symbol == ".":
            _dot(pen, x - 2, top + 57, 4.0, _LIT)
            x -= 8
            continue
        x -= 36
        for bar, lit in zip(_bars(x, top), _SEGMENTS[symbol], strict=True):
            pen.rectangle(bar, fill=_LIT if lit == "1" else _UNLIT)
        x -= 8


def _bars(x: int, y: int) -> tuple[tuple[int, int, int, int], ...]:
    """The seven bars of one digit 32 pixels wide and 58 high."""
    return (
        (x + 6, y, x + 26, y + 5),
        (x, y + 5, x + 5, y + 26),
        (x + 27, y + 5, x + 32, y + 26),
        (x + 6, y + 27, x + 26, y + 32),
        (x, y + 33, x + 5, y + 54),
        (x + 27, y + 33, x + 32, y + 54),
        (x + 6, y + 55, x + 26, y + 60),
    )


def _dot(pen: ImageDraw.ImageDraw, x: float, y: float, radius: float, colour: Colour) -> None:
    pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=colour)


def _cloud(draws: np.random.Generator, radius: float) -> NDArray[np.float64]:
    """Noise blurred over a radius in pixels, with mean 0 and standard deviation 1."""
    raw = draws.integers(0, 256, (_HEIGHT, _WIDTH), dtype=np.uint8)
    blurred = Image.fromarray(raw).filter(ImageFilter.GaussianBlur(radius))
    grey = np.asarray(blurred, dtype=np.float64)
    standardised: NDArray[np.float64] = (grey - grey.mean()) / grey.std()
    return standardised


def _tinted(colour: Colour, shade: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.array(colour, dtype=np.float64) + shade[..., None]


def _blend(
    under: NDArray[np.float64], colour: Colour, cover: NDArray[np.float64]
) -> NDArray[np.float64]:
    return under + (np.array(colour, dtype=np.float64) - under) * cover[..., None]


def _finished(picture: NDArray[np.float64], draws: np.random.Generator) -> Image.Image:
    """Lamp light that falls off towards the corners, and the scale bar laid into every picture."""
    y, x = np.mgrid[-1 : 1 : _HEIGHT * 1j, -1 : 1 : _WIDTH * 1j]
    lamp = 1.06 - 0.16 * ((x - draws.uniform(-0.3, 0.3)) ** 2 + (y + 0.4) ** 2)
    lit = _image(picture * lamp[..., None])
    pen = ImageDraw.Draw(lit)
    pen.rectangle((16, 388, 148, 408), fill=(236, 236, 230))
    for mark in range(6):
        pen.rectangle((22 + 24 * mark, 390, 22 + 24 * mark, 400), fill=(40, 40, 40))
    return lit


def _image(picture: NDArray[np.float64]) -> Image.Image:
    return Image.fromarray(np.clip(np.rint(picture), 0, 255).astype(np.uint8))
