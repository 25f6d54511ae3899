"""The control chart of one reference set-up in one series on one floor.

In:  the runs of ``drift``.
Out: charts by (protocol, version, setup, floor).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trialpress.charts import wording
from trialpress.charts.chart import Json
from trialpress.charts.form import read_form
from trialpress.charts.picture import ChartWords, Draft
from trialpress.charts.reading import run_reading
from trialpress.store import grouped
from trialpress.view import SeriesName, View, terms
from trialpress.view.results import DriftRun
from trialpress.words import say

DriftKey = tuple[str, int, str, str]
BEYOND_LIMITS, AVERAGE_BEYOND = "beyond-limits", "moving-average"


@dataclass(frozen=True)
class DriftMark:
    """A run as it is drawn."""

    setup: str
    position: int
    value: float
    centre: float | None
    lower: float | None
    upper: float | None
    moving_average: float | None
    average_lower: float | None
    average_upper: float | None
    is_baseline: bool
    is_out: bool
    average_is_out: bool
    reading: str


def draw_drift(view: View) -> Mapping[DriftKey, Draft]:
    """Every control chart."""
    charts = grouped(view.drift, lambda run: run.key)
    return {key: _draw(runs, view.series[key[:2]].name) for key, runs in charts.items()}


def _draw(runs: Sequence[DriftRun], series: SeriesName) -> Draft:
    first = runs[0]
    words = ChartWords(
        name=f"watch-{first.protocol}-v{first.version}-{first.setup}-{first.floor}",
        title=wording.drift_title(series.full, series.unit),
        description=wording.drift_description(len(runs), sum(bool(run.flags) for run in runs)),
        caption=say(wording.DRIFT_CAPTION),
    )
    marks = [_mark(run, series.unit) for run in runs]
    return Draft(words, wide=_filled(marks, narrow=False), narrow=_filled(marks, narrow=True))


def _filled(marks: Sequence[DriftMark], *, narrow: bool) -> dict[str, Json]:
    form = read_form("drift-narrow" if narrow else "drift-wide")
    words = {"runs": say(wording.EVERY_RUN), "average": say(wording.MOVING_AVERAGE)}
    return form.filled({"rows": marks}, {}, words)


def _mark(run: DriftRun, unit: str) -> DriftMark:
    return DriftMark(
        setup=run.setup,
        position=run.position,
        value=run.value,
        centre=run.centre,
        lower=run.lower,
        upper=run.upper,
        moving_average=run.moving_average,
        average_lower=run.average_lower,
        average_upper=run.average_upper,
        is_baseline=run.position <= (run.baseline or 0),
        is_out=BEYOND_LIMITS in terms.codes(run.flags),
        average_is_out=AVERAGE_BEYOND in terms.codes(run.flags),
        reading=run_reading(run.run, run.day, run.value, unit),
    )
