"""All charts of a site, in one call.

In:  the view of results, and where pictures are made and kept.
Out: ``Charts``.

Short: one line a chart, as each form of chart is a module of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from trialpress.charts.chart import Chart, Charts, PairCharts
from trialpress.charts.drift import draw_drift
from trialpress.charts.factors import draw_factors
from trialpress.charts.machine import draw_machine, series_scales
from trialpress.charts.maker import draw_maker
from trialpress.charts.maker_pair import draw_maker_pairs
from trialpress.charts.picture import ChartDraft, draw_all
from trialpress.charts.scatter import draw_claims, draw_values
from trialpress.charts.standings import draw_overall, draw_standings
from trialpress.products import Products
from trialpress.view import View

Key = TypeVar("Key")


def draw_charts(view: View, products: Products | None = None) -> Charts:
    """Draw every chart that the results call for; the same results give the same bytes."""
    machines = sorted({standing.machine for standing in view.standings})
    makers = sorted({standing.maker for standing in view.standings})
    scales = series_scales(view)
    standings = {series.key: draw_standings(view, series) for series in view.ranked_series}
    drift, values, claims = draw_drift(view), draw_values(view), draw_claims(view)
    overall, pairs = draw_overall(view), draw_maker_pairs(view)
    several = (standings, drift, values, claims)
    drafts = [draft for group in several for draft in group.values()]
    drafts += [*([overall] if overall else []), *([pairs.draft] if pairs else [])]
    drawn = draw_all(drafts, products or Products())
    return Charts(
        standings=_drawn(standings, drawn),
        overall=drawn[overall.words.name] if overall else None,
        machines={machine: draw_machine(view, machine, scales) for machine in machines},
        makers={maker: draw_maker(view, maker, scales) for maker in makers},
        drift=_drawn(drift, drawn),
        values=_drawn(values, drawn),
        claims=_drawn(claims, drawn),
        factors=draw_factors(view),
        pairs=PairCharts(pairs.makers, drawn[pairs.draft.words.name], pairs.rows)
        if pairs
        else None,
    )


def _drawn(drafts: Mapping[Key, ChartDraft], drawn: Mapping[str, Chart]) -> dict[Key, Chart]:
    return {key: drawn[draft.words.name] for key, draft in drafts.items()}
