"""All charts of a site, in one call.

In:  the store, with results.
Out: ``Charts``.
"""

from __future__ import annotations

from trialpress.charts.chart import Charts
from trialpress.charts.drift import draw_drift
from trialpress.charts.factors import draw_factors
from trialpress.charts.machine import draw_machine
from trialpress.charts.maker import draw_maker
from trialpress.charts.maker_pair import draw_maker_pairs
from trialpress.charts.material import read_material
from trialpress.charts.scatter import draw_claims, draw_values
from trialpress.charts.standings import draw_overall, draw_standings
from trialpress.store import Store


def draw_charts(store: Store) -> Charts:
    """Draw every chart that the results call for; the same results give the same bytes."""
    material = read_material(store)
    machines = sorted({standing.machine for standing in material.standings})
    makers = sorted({standing.maker for standing in material.standings})
    return Charts(
        standings={series.key: draw_standings(material, series) for series in material.series},
        overall=draw_overall(material),
        machines={machine: draw_machine(material, machine) for machine in machines},
        makers={maker: draw_maker(material, maker) for maker in makers},
        drift=draw_drift(store),
        values=draw_values(store),
        claims=draw_claims(store),
        factors=draw_factors(store),
        pairs=draw_maker_pairs(material),
    )
