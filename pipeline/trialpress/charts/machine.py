"""Every run of one machine: a panel a series, a row a set-up, a circle a run.

In:  the view and the machine's slug.
Out: one chart.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from trialpress.charts import wording
from trialpress.charts.panels import PanelMark, PanelRow, draw_panels, panel_heading, set_up_rows
from trialpress.charts.picture import ChartWords, Draft
from trialpress.charts.reading import run_reading
from trialpress.view import View
from trialpress.view.results import Standing
from trialpress.view.typed import Protocol


def draw_machine(view: View, machine: str) -> Draft:
    """All valid runs of one machine with the mean and interval of each set-up."""
    own = [standing for standing in view.standings if standing.machine == machine]
    rows = [
        row
        for position, series in enumerate(view.ranked_series)
        for row in _panel(view, series, position, own)
    ]
    name = view.names.machines[machine]
    runs = sum(row.kind is PanelMark.RUN for row in rows)
    words = ChartWords(
        name=f"machine-{machine}",
        title=wording.machine_title(name),
        description=wording.machine_description(name, runs, len({row.heading for row in rows})),
        caption=wording.machine_caption(view.settings.confidence),
    )
    return Draft(words, wide=draw_panels(rows, narrow=False), narrow=draw_panels(rows, narrow=True))


def _panel(
    view: View, series: Protocol, position: int, own: Sequence[Standing]
) -> Iterator[PanelRow]:
    """The rows of one series: the machine as unboxed first, its other set-ups by label."""
    here = [standing for standing in own if standing.key == series.key]
    rows = [(view.setup[standing.setup], standing) for standing in here]
    rows.sort(key=lambda row: (not row[0].stock, row[0].label, row[0].setup))
    for number, (setup, standing) in enumerate(rows):
        top = PanelRow(
            heading=panel_heading(view, series),
            heading_position=position,
            kind=PanelMark.LABEL,
            row=standing.setup,
            row_position=number,
            setup=standing.setup,
            label=setup.label,
        )
        yield from set_up_rows(top, standing, series.unit, PanelMark.MEAN)
        yield from _runs(view, series, replace(top, label=None))


def _runs(view: View, series: Protocol, place: PanelRow) -> Iterator[PanelRow]:
    runs = view.runs_of.get((series.key, place.row), ())
    for run in sorted(runs, key=lambda run: (run.day, run.run)):
        result = view.run_result.get(run.run)
        if result is not None:
            reading = run_reading(run.run, run.day, result.value, series.unit)
            yield replace(place, kind=PanelMark.RUN, value=result.value, reading=reading)
