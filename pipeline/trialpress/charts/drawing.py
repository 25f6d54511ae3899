"""All charts of a site, in one call.

In:  the view of results.
Out: ``Charts``.

Short: one line a chart, as each form of chart is a module of its own.
"""

from __future__ import annotations

from trialpress.charts.chart import Charts
from trialpress.charts.drift import draw_drift
from trialpress.charts.factors import draw_factors
from trialpress.charts.machine import draw_machine, series_scales
from trialpress.charts.maker import draw_maker
from trialpress.charts.maker_pair import draw_maker_pairs
from trialpress.charts.scatter import draw_claims, draw_values
from trialpress.charts.standings import draw_overall, draw_standings
from trialpress.view import View


def draw_charts(view: View) -> Charts:
    """Draw every chart that the results call for; the same results give the same bytes."""
    machines = sorted({standing.machine for standing in view.standings})
    makers = sorted({standing.maker for standing in view.standings})
    scales = series_scales(view)
    return Charts(
        standings={series.key: draw_standings(view, series) for series in view.ranked_series},
        overall=draw_overall(view),
        machines={machine: draw_machine(view, machine, scales) for machine in machines},
        makers={maker: draw_maker(view, maker, scales) for maker in makers},
        drift=draw_drift(view),
        values=draw_values(view),
        claims=draw_claims(view),
        factors=draw_factors(view),
        pairs=draw_maker_pairs(view),
    )
