"""Two makers side by side: a panel a series that both were tried in, a row for each set-up.

In:  a store with results, and two makers' slugs.
Out: one chart, drawn only when it is asked for; no order between the makers is drawn or told.
"""

from __future__ import annotations

from collections.abc import Iterator

from trialpress.charts import wording
from trialpress.charts.chart import Chart
from trialpress.charts.material import Material, Series, read_material
from trialpress.charts.panels import PanelMark, PanelRow, draw_panels, set_up_rows
from trialpress.charts.picture import Words, draw_chart
from trialpress.store import Store


def draw_maker_pair(store: Store, maker: str, other: str) -> Chart | None:
    """Every set-up of two makers in the series that both were tried in; None without one."""
    material = read_material(store)
    makers = (maker, other)
    rows = [
        row
        for position, series in enumerate(material.series)
        for row in _panel(material, series, position, makers)
    ]
    if not rows:
        return None
    names = {row.maker: row.maker_name for row in material.standings}
    first, second = names[maker], names[other]
    set_ups, panels = len({row.row for row in rows}), len({row.heading for row in rows})
    words = Words(
        name=f"makers-{maker}-and-{other}",
        title=f"{first} and {second}",
        description=wording.maker_pair_description(first, second, set_ups, panels),
        caption=wording.maker_pair_caption(material.confidence),
    )
    return draw_chart(
        words, wide=draw_panels(rows, narrow=False), narrow=draw_panels(rows, narrow=True)
    )


def _panel(
    material: Material, series: Series, position: int, makers: tuple[str, str]
) -> Iterator[PanelRow]:
    """The rows of one series, set-ups in the order of the standing; none where a maker has none."""
    standings = [row for row in material.standings_in(series) if row.maker in makers]
    if {row.maker for row in standings} != set(makers):
        return
    for number, standing in enumerate(standings):
        label = PanelRow(
            heading=material.heading(series),
            heading_position=position,
            kind=PanelMark.LABEL,
            row=standing.setup,
            row_position=number,
            setup=standing.setup,
            label=wording.set_up_name(standing.maker_name, standing.machine_name, standing.label),
        )
        yield from set_up_rows(label, standing, series.unit, PanelMark.DOT)
