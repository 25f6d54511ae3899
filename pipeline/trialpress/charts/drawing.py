"""All charts of a site, in one call.

In:  the view of results.
Out: ``Charts``, each of them drawn when it is first asked for.

Short: one line a chart, as each form of chart is a module of its own.
"""

from __future__ import annotations

from functools import partial

from trialpress.charts.chart import Charts
from trialpress.charts.drift import draw_drift
from trialpress.charts.factors import draw_factors
from trialpress.charts.machine import draw_machine, series_scales
from trialpress.charts.maker import draw_maker
from trialpress.charts.maker_pair import draw_maker_pairs
from trialpress.charts.scatter import draw_claims, draw_values
from trialpress.charts.standings import draw_overall, draw_standings
from trialpress.view import Deferred, View


def draw_charts(view: View) -> Charts:
    """Every chart that the results call for; the same results give the same bytes."""
    machines = sorted({standing.machine for standing in view.standings})
    makers = sorted({standing.maker for standing in view.standings})
    scales = series_scales(view)
    return Charts(
        standings=Deferred(
            {series.key: partial(draw_standings, view, series) for series in view.ranked_series}
        ),
        overall=draw_overall(view),
        machines=Deferred({one: partial(draw_machine, view, one, scales) for one in machines}),
        makers=Deferred({one: partial(draw_maker, view, one, scales) for one in makers}),
        drift=draw_drift(view),
        values=draw_values(view),
        claims=draw_claims(view),
        factors=draw_factors(view),
        pairs=draw_maker_pairs(view),
    )
