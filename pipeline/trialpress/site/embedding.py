"""How other sites show a page of this one: its picture, and its chart in a frame.

In:  the bench's settings, a page's address, a chart.
Out: ``Preview`` and ``Embed``; addresses that leave the site are absolute.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from html import escape

from trialpress.bench import Settings
from trialpress.charts import TICKET_HEIGHT_PX, TICKET_WIDTH_PX, Chart, Strips
from trialpress.site import urls

FRAME_WIDTH_PX = 640  # what is told to sites that ask; a frame may have any width
NARROW_WIDTH_PX = 432  # the widest the narrow picture of a chart gets, 27rem
WORDS_HEIGHT_PX = 300  # title, caption, source and the closed table
STRIP_WORDS_PX = 60  # above a strip
TALLEST_PX = 1100  # beyond it the frame scrolls
SANDBOX = "allow-popups allow-popups-to-escape-sandbox"
VIEW_BOX = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')


@dataclass(frozen=True)
class Preview:
    """A page's picture for other sites; ``url`` is absolute, ``path`` is below the site."""

    url: str
    path: str
    width_px: int
    height_px: int
    alt: str


@dataclass(frozen=True)
class Embed:
    """How to show one chart elsewhere: ``snippet`` is HTML to copy.

    ``url`` and ``oembed_url`` are below the site, ``oembed_address`` is absolute.
    """

    title: str
    url: str
    oembed_url: str
    oembed_address: str
    snippet: str
    height_px: int


def preview_of(settings: Settings, page: str, title: str) -> Preview:
    """The picture of one page."""
    path = urls.preview_url(page)
    return Preview(
        url=settings.base_url + path,
        path=path,
        width_px=TICKET_WIDTH_PX,
        height_px=TICKET_HEIGHT_PX,
        alt=f"{settings.name}: {title}" if title != settings.name else settings.name,
    )


def embed_of(settings: Settings, chart: Chart | Strips) -> Embed:
    """How to show one chart elsewhere."""
    url, height_px = urls.embed_url(chart.name), _height_px(chart)
    snippet = (
        f'<iframe src="{settings.base_url}{url}" title="{escape(chart.title)}" width="100%" '
        f'height="{height_px}" loading="lazy" sandbox="{SANDBOX}"></iframe>'
    )
    oembed_url = urls.oembed_url(chart.name)
    return Embed(chart.title, url, oembed_url, settings.base_url + oembed_url, snippet, height_px)


def oembed(settings: Settings, embed: Embed, preview: Preview) -> str:
    """The same for machines, as JSON.

    Notes
    -----
    Source: oEmbed, oembed.com, version 1.0, type ``rich``.
    """
    answer = {
        "version": "1.0",
        "type": "rich",
        "title": embed.title,
        "provider_name": settings.name,
        "provider_url": settings.base_url,
        "html": embed.snippet,
        "width": FRAME_WIDTH_PX,
        "height": embed.height_px,
        "thumbnail_url": preview.url,
        "thumbnail_width": preview.width_px,
        "thumbnail_height": preview.height_px,
    }
    return json.dumps(answer, ensure_ascii=False, indent=1) + "\n"


def _height_px(chart: Chart | Strips) -> int:
    """Room for the picture as a frame of usual width shows it, and for the words around it."""
    if isinstance(chart, Strips):
        strips = sum(strip.height + STRIP_WORDS_PX for strip in chart.strips)
        return min(strips + WORDS_HEIGHT_PX, TALLEST_PX)
    found = VIEW_BOX.search(chart.svg_narrow)
    picture = NARROW_WIDTH_PX * float(found[2]) / float(found[1]) if found else 0.0
    return min(round(picture) + WORDS_HEIGHT_PX, TALLEST_PX)
