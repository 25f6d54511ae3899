"""Results -> charts: accessible pictures, and the specifications a page redraws them from.

In:  the view of results.
Out: ``Charts``. One module a chart (``standings`` with the overall, ``machine``, ``maker``,
     ``maker_pair``, ``drift``, ``scatter``, ``factors``); four forms, each compiled once
     (``ladder``, ``panels``, ``drift_form``, ``scatter_form``); one look (``style``) from one
     palette (``theme``). ``check_vendored`` vouches for the runtime that pages redraw charts with;
     ``draw_preview`` frames a chart for links from elsewhere.
"""

from trialpress.charts.chart import Chart, Charts, PairCharts
from trialpress.charts.drawing import draw_charts
from trialpress.charts.preview import (
    PREVIEW_HEIGHT_PX,
    PREVIEW_WIDTH_PX,
    PreviewWords,
    draw_preview,
)
from trialpress.charts.theme import Palette, Theme, palette_css, read_theme
from trialpress.charts.vendored import check_vendored

__all__ = [
    "PREVIEW_HEIGHT_PX",
    "PREVIEW_WIDTH_PX",
    "Chart",
    "Charts",
    "PairCharts",
    "Palette",
    "PreviewWords",
    "Theme",
    "check_vendored",
    "draw_charts",
    "draw_preview",
    "palette_css",
    "read_theme",
]
