"""Results -> charts: accessible pictures, and the specifications a page redraws them from.

In:  the view of results.
Out: ``Charts``. One module a chart (``standings`` with the overall, ``machine``, ``maker``,
     ``maker_pair``, ``drift``, ``scatter``, ``factors``); four forms, each compiled once
     (``ladder``, ``panels``, ``drift_form``, ``scatter_form``); one look (``style``) from one
     palette (``theme``). ``check_vendored`` vouches for the runtime that pages redraw charts with;
     ``draw_ticket`` draws the picture for links from elsewhere.
"""

from trialpress.charts.chart import Chart, Charts, PairCharts, Strips
from trialpress.charts.drawing import draw_charts
from trialpress.charts.theme import Palette, Theme, palette_css, read_theme, shipped_templates
from trialpress.charts.ticket import (
    TICKET_HEIGHT_PX,
    TICKET_WIDTH_PX,
    Ticket,
    TicketFigure,
    draw_ticket,
)
from trialpress.charts.vendored import check_vendored

__all__ = [
    "TICKET_HEIGHT_PX",
    "TICKET_WIDTH_PX",
    "Chart",
    "Charts",
    "PairCharts",
    "Palette",
    "Strips",
    "Theme",
    "Ticket",
    "TicketFigure",
    "check_vendored",
    "draw_charts",
    "draw_ticket",
    "palette_css",
    "read_theme",
    "shipped_templates",
]
