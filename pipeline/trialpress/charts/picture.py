"""Charts whole: their words, their pictures and their specifications.

In:  drawings and compiled Vega specifications, wide and narrow, and the words that go with them.
Out: a ``Chart``; its SVGs have a role, a title and a description, and no style attributes.

Short: what is drawn is drawn by ``stills``, what a browser draws over it is filled by ``form``.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from trialpress.charts.chart import Chart, Json
from trialpress.charts.stills import Drawing
from trialpress.charts.theme import THEME

SVG = "http://www.w3.org/2000/svg"


@dataclass(frozen=True)
class ChartWords:
    """What a chart is called, shows, and how it is read; see ``Chart``."""

    name: str
    title: str
    description: str
    caption: str
    finding: str = ""


def charted(
    words: ChartWords,
    wide: tuple[dict[str, Json], Drawing],
    narrow: tuple[dict[str, Json], Drawing],
) -> Chart:
    """A chart of its specification and its drawing in both layouts."""
    return Chart(
        name=words.name,
        title=words.title,
        description=words.description,
        caption=words.caption,
        svg=_picture(wide[1], words.name, words),
        svg_narrow=_picture(narrow[1], f"narrow-{words.name}", words),
        vega=wide[0],
        vega_narrow=narrow[0],
        finding=words.finding,
    )


def _picture(drawing: Drawing, name: str, words: ChartWords) -> str:
    """One ``svg`` element, as wide as its place; ``name`` begins every id in it."""
    title, desc = f"{name}-title", f"{name}-desc"
    return (
        f'<svg xmlns="{SVG}" width="100%" viewBox="0 0 {drawing.width} {drawing.height}" role="img"'
        f' aria-labelledby="{escape(title)}" aria-describedby="{escape(desc)}">'
        f'<title id="{escape(title)}">{escape(words.title, quote=False)}</title>'
        f'<desc id="{escape(desc)}">{escape(words.description, quote=False)}</desc>'
        f'<g fill="none" font-family="{THEME.chart_face}">{drawing.marks}</g></svg>'
    )
