"""The control chart of one reference set-up in one series on one floor.

In:  the runs of ``drift``.
Out: charts by (protocol, version, setup, floor).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from trialpress.charts import wording
from trialpress.charts.chart import Chart, Json
from trialpress.charts.drift_form import drift_mould
from trialpress.charts.picture import Words, draw_chart
from trialpress.charts.reading import run_reading
from trialpress.store import Store, read_sql
from trialpress.words import say

DriftKey = tuple[str, int, str, str]
BEYOND_LIMITS, AVERAGE_BEYOND = "beyond-limits", "moving-average"


@dataclass(frozen=True)
class DriftRun:
    """One run of a reference set-up, with the limits of its chart (None where there is none)."""

    protocol: str
    version: int
    setup: str
    floor: str
    title: str
    unit: str
    is_current: bool
    run: str
    day: str
    position: int
    value: float
    baseline: int | None
    centre: float | None
    lower: float | None
    upper: float | None
    moving_average: float | None
    average_lower: float | None
    average_upper: float | None
    flags: str

    @property
    def key(self) -> DriftKey:
        """The chart the run is in."""
        return self.protocol, self.version, self.setup, self.floor


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


def draw_drift(store: Store) -> Mapping[DriftKey, Chart]:
    """Every control chart."""
    runs = store.records(DriftRun, read_sql("trialpress.charts", "queries/drift.sql"))
    return {key: _draw(list(group)) for key, group in groupby(runs, key=lambda run: run.key)}


def _draw(runs: Sequence[DriftRun]) -> Chart:
    first = runs[0]
    series = first.title + wording.apart(None if first.is_current else first.version, None)
    words = Words(
        name=f"watch-{first.protocol}-v{first.version}-{first.setup}-{first.floor}",
        title=wording.drift_title(series, first.unit),
        description=wording.drift_description(len(runs), sum(bool(run.flags) for run in runs)),
        caption=say(wording.DRIFT_CAPTION),
    )
    return draw_chart(words, wide=_pour(runs, narrow=False), narrow=_pour(runs, narrow=True))


def _pour(runs: Sequence[DriftRun], *, narrow: bool) -> dict[str, Json]:
    return drift_mould(narrow=narrow).pour({"rows": [_mark(run) for run in runs]}, {})


def _mark(run: DriftRun) -> DriftMark:
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
        is_out=BEYOND_LIMITS in run.flags.split(),
        average_is_out=AVERAGE_BEYOND in run.flags.split(),
        reading=run_reading(run.run, run.day, run.value, run.unit),
    )
