"""Every run of one machine: a strip a series, a row a set-up, a circle a run.

In:  the view, the scale of each series, and the machine's slug.
Out: one chart of strips, with the field behind.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from trialpress.charts import wording
from trialpress.charts.chart import Strips
from trialpress.charts.panels import (
    FieldMarks,
    PanelMark,
    PanelRow,
    RunRow,
    panel_heading,
    set_up_rows,
)
from trialpress.charts.picture import ChartWords
from trialpress.charts.reading import run_reading
from trialpress.charts.strips import Scale, draw_strips, scale_of
from trialpress.view import View
from trialpress.view.results import Standing
from trialpress.view.typed import Protocol
from trialpress.words import figures

FIELD = ""  # no set-up has an empty slug


def series_scales(view: View) -> Mapping[int, Scale]:
    """One scale a series, by its position, so that machines can be held beside each other."""
    return {
        position: scale_of([*_ends(view, series), *_run_values(view, series)])
        for position, series in enumerate(view.ranked_series)
    }


def _ends(view: View, series: Protocol) -> Iterator[float | None]:
    for row in view.standings_of[series.key]:
        yield from (row.mean, row.low, row.high)


def _run_values(view: View, series: Protocol) -> Iterator[float]:
    for row in view.standings_of[series.key]:
        for run in view.runs_of.get((series.key, row.setup), ()):
            if run.run in view.run_result:
                yield view.run_result[run.run].value


def draw_machine(view: View, machine: str, scales: Mapping[int, Scale]) -> Strips:
    """All valid runs of one machine with the mean and interval of each set-up."""
    own = view.standings_of_machine[machine]
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
        finding=wording.machine_finding(runs),
    )
    return draw_strips(words, rows, scales)


def _panel(
    view: View, series: Protocol, position: int, own: Sequence[Standing]
) -> Iterator[PanelRow]:
    """The rows of one series: the machine as unboxed first, its other set-ups by label."""
    here = [standing for standing in own if standing.key == series.key]
    rows = [(view.setup[standing.setup], standing) for standing in here]
    rows.sort(key=lambda row: (not row[0].stock, row[0].label, row[0].setup))
    heading = panel_heading(view, series) if rows else ""
    for number, (setup, standing) in enumerate(rows):
        top = PanelRow(
            heading=heading,
            heading_position=position,
            kind=PanelMark.LABEL,
            row=standing.setup,
            row_position=number,
            setup=standing.setup,
            label=setup.label,
        )
        yield from set_up_rows(top, standing, series.unit, PanelMark.MEAN)
        yield from _runs(view, series, top)
    if rows:
        yield field_marks(heading, position, view.standings_of[series.key], here)


def field_marks(
    heading: str, position: int, standings: Sequence[Standing], own: Sequence[Standing]
) -> FieldMarks:
    """The means of all other set-ups of a series."""
    names = {standing.setup for standing in own}
    means = tuple(row.mean for row in standings if row.setup not in names)
    return FieldMarks(heading, position, PanelMark.FIELD, FIELD, len(own), None, field=means)


def _runs(view: View, series: Protocol, place: PanelRow) -> Iterator[RunRow]:
    runs = view.runs_of.get((series.key, place.row), ())
    for run in sorted(runs, key=lambda run: (run.day, run.run)):
        result = view.run_result.get(run.run)
        if result is not None:
            yield RunRow(
                heading=place.heading,
                heading_position=place.heading_position,
                kind=PanelMark.RUN,
                row=place.row,
                row_position=place.row_position,
                setup=place.setup,
                value=result.value,
                reading=run_reading(run.run, run.day, result.value, series.unit),
                date=figures.short_day(run.day_date),
            )
