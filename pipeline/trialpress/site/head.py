"""What a page says of itself to other sites and to machines.

In:  the material and a page that is otherwise complete.
Out: the same page with preview, embed and data block in its frame; the preview pictures.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any, cast

from trialpress.bench import Settings
from trialpress.charts import Chart, PreviewWords, draw_preview
from trialpress.site.embedding import embed_of, preview_of
from trialpress.site.frame import Frame
from trialpress.site.material import Material
from trialpress.site.pages.embeds import EmbedPage
from trialpress.site.pages.factors import FactorsPage
from trialpress.site.pages.makers import MakerPage
from trialpress.site.pages.prices import PricePage
from trialpress.site.structured import data_block_of
from trialpress.site.templates import Page

WITHOUT_OWN_PREVIEW = (MakerPage, PricePage, FactorsPage)
"""Readers share standings and machines most; pictures cost time."""


def with_head(material: Material, page: Page) -> Page:
    """The page with everything that stands in its head."""
    if isinstance(page, EmbedPage):
        return page  # it says all of it by itself
    settings, chart = material.view.settings, chart_of(page)
    frame = replace(page.frame, data_block=data_block_of(material, page))
    if chart is not None:
        frame = replace(frame, embed=embed_of(settings, chart))
    if chart is not None and not isinstance(page, WITHOUT_OWN_PREVIEW):
        frame = replace(frame, preview=preview_of(settings, frame.url, frame.title))
    return cast("Page", _with_frame(page, frame))


def chart_of(page: Page) -> Chart | None:
    """The one chart of a page, where it has one."""
    return getattr(page, "chart", None)


def preview_picture(settings: Settings, frame: Frame, chart: Chart | None) -> bytes:
    """The preview of one page as PNG."""
    words = PreviewWords(settings.name, frame.title, frame.description, settings.notice or "")
    return draw_preview(words, chart.svg if chart else None)


def _with_frame(page: Any, frame: Frame) -> Any:  # noqa: ANN401 -- the kind of page it was
    return replace(page, frame=frame)
