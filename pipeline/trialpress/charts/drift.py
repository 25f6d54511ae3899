"""The control chart of one reference set-up in one series on one floor.

In:  the runs of ``drift``, of which a chart shows the mean of each day.
Out: charts by (protocol, version, setup, floor).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import partial

from trialpress.charts import wording
from trialpress.charts.chart import Chart, Json
from trialpress.charts.form import read_form
from trialpress.charts.picture import ChartWords, charted
from trialpress.charts.reading import day_reading
from trialpress.charts.scale import date_ticks
from trialpress.charts.stills import drift_still
from trialpress.charts.stills.drift import DateMark, DriftMark
from trialpress.store import grouped
from trialpress.view import Deferred, SeriesName, View, terms
from trialpress.view.results import DriftRun
from trialpress.words import figures, say

DriftKey = tuple[str, int, str, str | None]
BEYOND_LIMITS, AVERAGE_BEYOND = "beyond-limits", "moving-average"
MANY_DATES, FEW_DATES = 7, 3


def draw_drift(view: View) -> Mapping[DriftKey, Chart]:
    """Every control chart."""
    charts = grouped(view.drift, lambda run: run.key)
    return Deferred(
        {key: partial(_draw, runs, view.series[key[:2]].name) for key, runs in charts.items()}
    )


def _draw(runs: Sequence[DriftRun], series: SeriesName) -> Chart:
    days = {run.day_position: run for run in reversed(runs)}
    by_date = [days[position] for position in sorted(days)]
    counts = Counter(run.day_position for run in runs)
    first = runs[0]
    words = ChartWords(
        name=f"watch-{first.protocol}-v{first.version}-{first.setup}-{first.floor or 'anywhere'}",
        title=wording.drift_title(series.full, series.unit),
        description=wording.drift_description(len(days), sum(bool(run.flags) for run in by_date)),
        caption=say(wording.DRIFT_CAPTION),
    )
    marks = [
        _mark(run, (run.day_date - first.day_date).days, counts[run.day_position], series.unit)
        for run in by_date
    ]
    headings = say(wording.EVERY_DAY), say(wording.MOVING_AVERAGE)
    wide, narrow = (
        (
            _filled(marks, dates, headings, narrow=is_narrow),
            drift_still(marks, dates, headings, narrow=is_narrow),
        )
        for is_narrow, dates in (
            (False, _dates(by_date, MANY_DATES)),
            (True, _dates(by_date, FEW_DATES)),
        )
    )
    return charted(words, wide, narrow)


def _filled(
    marks: Sequence[DriftMark],
    dates: Sequence[DateMark],
    headings: tuple[str, str],
    *,
    narrow: bool,
) -> dict[str, Json]:
    form = read_form("drift-narrow" if narrow else "drift-wide")
    words = dict(zip(("days", "average"), headings, strict=True))
    return form.filled({"rows": marks, "dates": dates}, {}, words)


def _dates(days: Sequence[DriftRun], most: int) -> list[DateMark]:
    first, last = days[0].day_date, days[-1].day_date
    return [
        DateMark((date - first).days, figures.short_day(date))
        for date in date_ticks(first, last, most)
    ]


def _mark(run: DriftRun, day: int, runs: int, unit: str) -> DriftMark:
    return DriftMark(
        setup=run.setup,
        day=day,
        value=run.day_value,
        centre=run.centre,
        lower=run.lower,
        upper=run.upper,
        moving_average=run.moving_average,
        average_lower=run.average_lower,
        average_upper=run.average_upper,
        is_baseline=run.day_position <= (run.baseline or 0),
        is_out=BEYOND_LIMITS in terms.codes(run.flags),
        average_is_out=AVERAGE_BEYOND in terms.codes(run.flags),
        reading=day_reading(run.day_date, run.day_value, runs, unit),
    )
