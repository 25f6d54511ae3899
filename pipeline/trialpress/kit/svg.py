"""A scene as SVG, for those who want to change something in it.

In:  a scene, a palette, what it is called and what it shows.
Out: SVG text with real words in it; its faces lie in the folder ``fonts`` beside it.
"""

from __future__ import annotations

from html import escape

from trialpress.charts import Palette
from trialpress.charts.typesetting import Face
from trialpress.kit.scene import Align, Box, Dot, Mark, Role, Scene, TextLine

FAMILIES = {Face.TEXT: "Aleo", Face.BOLD: "Aleo", Face.NUMERALS: "Sometype Mono"}
FILES = (
    ("Aleo", 400, "aleo-400"),
    ("Aleo", 700, "aleo-700"),
    ("Sometype Mono", 400, "sometype-mono"),
)
ANCHORS = {Align.LEFT: "start", Align.MIDDLE: "middle", Align.RIGHT: "end"}
BASIC_RANGE = "U+20-7E, U+A0, U+B0-B2, U+B7, U+D7, U+F7, U+2013-2014, U+2018-201D, U+2026, U+2212"


def draw_svg(scene: Scene, palette: Palette, title: str, description: str) -> str:
    """The whole picture; its ground is one element, to be taken out for a transparent one."""
    colours = dict(palette.roles())
    ground = Box(0, 0, scene.width, scene.height, Role.PAPER)
    size = f'width="{scene.width}" height="{scene.height}"'
    box = f'viewBox="0 0 {scene.width} {scene.height}"'
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box} role="img">',
        f"<title>{escape(title, quote=False)}</title>",
        f"<desc>{escape(description, quote=False)}</desc>",
        f"<style>{_faces()}</style>",
        _element(ground, colours).replace("<rect", '<rect id="ground"'),
        *(_element(mark, colours) for mark in scene.marks),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _faces() -> str:
    return "".join(
        f'@font-face{{font-family:"{family}";font-weight:{weight};'
        f'src:url("../fonts/{file}{part}.woff2");unicode-range:{letters}}}'
        for family, weight, file in FILES
        for part, letters in (("-more", "U+A1-24F"), ("", BASIC_RANGE))
    )


def _element(mark: Mark, colours: dict[str, str]) -> str:
    colour = colours[mark.role]
    match mark:
        case Box():
            place = f'x="{mark.x}" y="{mark.y}" width="{mark.width}" height="{mark.height}"'
            return f'<rect {place} fill="{colour}"/>'
        case Dot():
            return _dot(mark, colour, colours[Role.PAPER])
        case TextLine():
            return _words(mark, colour)


def _dot(dot: Dot, colour: str, paper: str) -> str:
    if not dot.is_open:
        return f'<circle cx="{dot.x}" cy="{dot.y}" r="{dot.radius}" fill="{colour}"/>'
    thick = max(dot.radius // 3, 2)
    ring = dot.radius - thick / 2
    place = f'cx="{dot.x}" cy="{dot.y}" r="{ring:g}"'
    return f'<circle {place} fill="{paper}" stroke="{colour}" stroke-width="{thick}"/>'


def _words(words: TextLine, colour: str) -> str:
    family = f'"{FAMILIES[words.face]}, Roboto Slab, serif"'
    place = f'x="{words.x}" y="{words.y}" text-anchor="{ANCHORS[words.align]}"'
    style = f'font-family={family} font-weight="{words.face.weight}" font-size="{words.size}"'
    return f'<text {place} {style} fill="{colour}">{escape(words.text, quote=False)}</text>'
