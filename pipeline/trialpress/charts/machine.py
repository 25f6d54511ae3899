"""Every run of one machine: a panel a series, a row a set-up, a circle a run.

In:  material and the machine's slug.
Out: one chart.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from trialpress.charts import wording
from trialpress.charts.chart import Chart
from trialpress.charts.material import Material, Series, Standing
from trialpress.charts.panels import PanelMark, PanelRow, draw_panels, set_up_rows
from trialpress.charts.picture import Words, draw_chart
from trialpress.charts.reading import run_reading


def draw_machine(material: Material, machine: str) -> Chart:
    """All valid runs of one machine with the mean and interval of each set-up."""
    own = [standing for standing in material.standings if standing.machine == machine]
    rows = [
        row
        for position, series in enumerate(material.series)
        for row in _panel(material, series, position, own)
    ]
    name = wording.machine_name(own[0].maker_name, own[0].machine_name)
    runs = sum(row.kind is PanelMark.RUN for row in rows)
    words = Words(
        name=f"machine-{machine}",
        title=wording.machine_title(name),
        description=wording.machine_description(name, runs, len({row.heading for row in rows})),
        caption=wording.machine_caption(material.confidence),
    )
    return draw_chart(
        words, wide=draw_panels(rows, narrow=False), narrow=draw_panels(rows, narrow=True)
    )


def _panel(
    material: Material, series: Series, position: int, own: Sequence[Standing]
) -> Iterator[PanelRow]:
    """The rows of one series: the machine as unboxed first, its other set-ups by label."""
    here = [standing for standing in own if standing.key == series.key]
    here.sort(key=lambda standing: (not standing.stock, standing.label, standing.setup))
    for number, standing in enumerate(here):
        top = PanelRow(
            heading=material.heading(series),
            heading_position=position,
            kind=PanelMark.LABEL,
            row=standing.setup,
            row_position=number,
            setup=standing.setup,
            label=standing.label,
        )
        yield from set_up_rows(top, standing, series.unit, PanelMark.MEAN)
        yield from _runs(material, series, replace(top, label=None))


def _runs(material: Material, series: Series, place: PanelRow) -> Iterator[PanelRow]:
    for run in material.runs:
        if run.key == series.key and run.setup == place.setup:
            reading = run_reading(run.run, run.day, run.value, series.unit)
            yield replace(place, kind=PanelMark.RUN, value=run.value, reading=reading)
