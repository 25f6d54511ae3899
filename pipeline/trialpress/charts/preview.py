"""The picture that other sites show when a page of this one is linked to.

In:  the page's words and, where it has one, its chart.
Out: PNG bytes, 1200 by 630 pixels, always on light paper.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from html import escape

import vl_convert
from PIL import Image

from trialpress.charts.fitting import fit, text_width
from trialpress.charts.style import COLOURS, THEME

PREVIEW_WIDTH_PX, PREVIEW_HEIGHT_PX = 1200, 630
MARGIN = 60
TICK_STEP = 9
CHART_TOP, CHART_BOTTOM = 282, 586
PALETTE_SIZE = 48  # flat colours and their edges; keeps a picture near 20 kB
FACE = f' font-family="{THEME.chart_face}"'
VIEW_BOX = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')


@dataclass(frozen=True)
class PreviewWords:
    """What stands on a preview; ``foot`` may be blank."""

    bench: str
    title: str
    sentence: str
    foot: str


@dataclass(frozen=True)
class _Line:
    """Text from one point on."""

    x: int
    y: int
    size: int
    colour: str
    text: str
    is_bold: bool = False


@lru_cache(maxsize=500)  # each some 20 kB beside the picture of its chart
def draw_preview(words: PreviewWords, svg: str | None) -> bytes:
    """Draw one preview; the same words and chart give the same bytes.

    Parameters
    ----------
    words : PreviewWords
        Cut to the room there is.
    svg : str or None
        A chart's wide picture; its beginning is shown.
    """
    parts = "".join((*_ground(), *_chart(svg), *_foot(words.foot), *map(_text, _lines(words))))
    width, height = PREVIEW_WIDTH_PX, PREVIEW_HEIGHT_PX
    picture = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}" font-family="{THEME.chart_face}">{parts}</svg>'
    )
    return _small(vl_convert.svg_to_png(picture, scale=1, ppi=72))


def _ground() -> Iterator[str]:
    """Paper, and under the name of the bench the ticks of a scale."""
    yield f'<rect width="{PREVIEW_WIDTH_PX}" height="{PREVIEW_HEIGHT_PX}" fill="{COLOURS.paper}"/>'
    right = PREVIEW_WIDTH_PX - MARGIN
    ticks = "".join(
        f"M{x} 92v{14 if i % 10 == 0 else 7}"
        for i, x in enumerate(range(MARGIN, right + 1, TICK_STEP))
    )
    yield f'<path d="M{MARGIN} 92H{right}{ticks}" stroke="{COLOURS.ink}" stroke-width="1.5"/>'


def _lines(words: PreviewWords) -> Iterator[_Line]:
    room = PREVIEW_WIDTH_PX - 2 * MARGIN
    yield _Line(MARGIN, 72, 30, COLOURS.ink, fit(words.bench, room, 32), is_bold=True)
    title = _wrapped(words.title, room, 54, 2)
    for number, line in enumerate(title):
        yield _Line(MARGIN, 168 + 58 * number, 50, COLOURS.ink, line, is_bold=True)
    for number, line in enumerate(_wrapped(words.sentence, room, 28, 3 - len(title))):
        y = 160 + 58 * len(title) + 34 * number
        yield _Line(MARGIN, y, 27, COLOURS.muted, line)


def _wrapped(text: str, width: float, size: float, most: int) -> list[str]:
    """Lines of whole words; the last one is cut where the text has more of them."""
    lines: list[str] = []
    rest = text.split()
    while rest and len(lines) < most - 1:
        taken = 1
        while taken < len(rest) and text_width(" ".join(rest[: taken + 1]), size) <= width:
            taken += 1
        lines.append(" ".join(rest[:taken]))
        rest = rest[taken:]
    return [*lines, fit(" ".join(rest), width, size)] if rest else lines


def _chart(svg: str | None) -> Iterator[str]:
    """The beginning of the chart, as wide as the picture allows."""
    found = VIEW_BOX.search(svg) if svg else None
    if svg is None or found is None:
        return
    room = PREVIEW_WIDTH_PX - 2 * MARGIN
    width, whole = float(found[1]), float(found[2])
    shown = min(whole, width * (CHART_BOTTOM - CHART_TOP) / room)
    inner = svg[svg.index(">") + 1 : svg.rindex("</svg>")].replace(FACE, "")  # said once is quicker
    yield (
        f'<svg x="{MARGIN}" y="{CHART_TOP}" width="{room}" height="{shown * room / width:.0f}" '
        f'viewBox="0 0 {found[1]} {shown:.2f}" fill="none" stroke-miterlimit="10">{inner}</svg>'
    )


def _foot(text: str) -> Iterator[str]:
    if text:
        line = fit(text, PREVIEW_WIDTH_PX - 2 * MARGIN, 20)
        yield _text(_Line(MARGIN, PREVIEW_HEIGHT_PX - 18, 20, COLOURS.muted, line))


def _text(line: _Line) -> str:
    weight = ' font-weight="bold"' if line.is_bold else ""
    return (
        f'<text x="{line.x}" y="{line.y}" font-size="{line.size}" fill="{line.colour}"{weight}>'
        f"{escape(line.text)}</text>"
    )


def _small(png: bytes) -> bytes:
    """The same picture with few colours, which is a fifth of the size."""
    target = io.BytesIO()
    picture = Image.open(io.BytesIO(png)).convert("RGB")
    few = picture.quantize(PALETTE_SIZE, Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
    few.save(target, "PNG")
    return target.getvalue()
