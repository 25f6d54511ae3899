"""The bench watched by its reference set-ups.

In:  their runs, from the store.
Out: table ``drift``: every reference run with its chart's limits and what is out of line; table
     ``drift_charts``: what each chart can see, and whether its baseline holds a step.

Runs of one reference on one day share the day, so that a chart has one value a day: their mean.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from itertools import groupby

import numpy as np

from trialpress.results.alarms import DAYS_AHEAD, chance_of_alarm
from trialpress.results.change_point import STEP_LEVEL, find_step
from trialpress.results.control_chart import FLAGGING, ControlChart, control_chart
from trialpress.results.records import DriftChartRow, DriftRow
from trialpress.results.rounding import half_even, published
from trialpress.results.spread import Floats, mean_of_runs
from trialpress.store import Store, read_sql

CHANCE_DIGITS = 3


@dataclass(frozen=True)
class ReferenceRun:
    """A valid run of a reference set-up, unrounded; ``matters`` is the series'."""

    protocol: str
    series_version: int
    setup: str
    floor: str | None
    run: str
    day: str
    at: str
    value: float
    matters: float


def write_drift(store: Store, decimals: Mapping[tuple[str, int], int]) -> None:
    """Write ``drift`` and ``drift_charts``: one chart a series, reference set-up and floor.

    ``decimals`` are those of the series that are worked out.
    """
    sql = read_sql("trialpress.results", "queries/reference_runs.sql")
    runs = [
        run
        for run in store.records(ReferenceRun, sql)
        if (run.protocol, run.series_version) in decimals
    ]
    rows: list[DriftRow] = []
    charts: list[DriftChartRow] = []
    for _, group in groupby(runs, key=_segment):
        segment = list(group)
        digits = decimals[segment[0].protocol, segment[0].series_version] + 1
        days = _day_means(segment)
        chart = control_chart(np.array(list(days.values())))
        rows += _run_rows(segment, days, chart, digits)
        charts.append(_chart_row(segment[0], days, chart, digits))
    store.write_records("drift", DriftRow, rows)
    store.write_records("drift_charts", DriftChartRow, charts)


def _day_means(segment: Iterable[ReferenceRun]) -> dict[str, float]:
    """The mean of each day's runs, in the order of the days."""
    runs: dict[str, list[float]] = {}
    for run in segment:
        runs.setdefault(run.day, []).append(run.value)
    return {day: mean_of_runs(np.array(values)) for day, values in runs.items()}


@dataclass(frozen=True)
class OutOfLine:
    """A day of a reference out of line: flags mark numbers, notices only ask for a look."""

    protocol: str
    version: int
    setup: str
    floor: str | None
    day: str
    runs: str
    flags: str
    notices: str

    @property
    def text(self) -> str:
        """One line for the tester."""
        where = f"{_chart_in_words(self.protocol, self.version, self.floor)}, {self.day}"
        if self.flags:
            signals = f"{self.flags.replace(' ', ', ')}; every number of that day is marked"
        else:
            signals = f"{self.notices.replace(' ', ', ')}; nothing is marked, have a look"
        return f"{where}: {self.setup} (runs {self.runs}) is out of line: {signals}"


@dataclass(frozen=True)
class BaselineStep:
    """The step that fits the baseline of a control chart best."""

    protocol: str
    version: int
    setup: str
    floor: str | None
    step_on: str
    step_size: float
    step_p: float

    @property
    def is_clear(self) -> bool:
        """Whether chance alone would hardly make it."""
        return self.step_p <= STEP_LEVEL

    @property
    def text(self) -> str:
        """One line for the tester."""
        return (
            f"{_chart_in_words(self.protocol, self.version, self.floor)}: from {self.step_on} on "
            f"{self.setup} differs by {self.step_size:+g} from the days before "
            f"(p {self.step_p:g}), and the limits come from both; nothing is marked, have a look"
        )


def _chart_in_words(protocol: str, version: int, floor: str | None) -> str:
    return f"{protocol} version {version}" + (f" on {floor}" if floor else "")


def read_out_of_line(store: Store) -> list[str]:
    """What the reference says of the bench, a line for each day out of line and clear step."""
    days = store.records(OutOfLine, read_sql("trialpress.results", "queries/out_of_line.sql"))
    steps = store.records(BaselineStep, read_sql("trialpress.results", "queries/steps.sql"))
    return [*(day.text for day in days), *(step.text for step in steps if step.is_clear)]


def _segment(run: ReferenceRun) -> tuple[str, int, str, str | None]:
    return run.protocol, run.series_version, run.setup, run.floor


def _run_rows(
    segment: list[ReferenceRun], days: Mapping[str, float], chart: ControlChart | None, digits: int
) -> Iterable[DriftRow]:
    day_positions = {day: i for i, day in enumerate(days)}
    for i, run in enumerate(segment):
        at_day = day_positions[run.day]
        limits = _limits(chart, at_day, digits) if chart else NO_LIMITS
        yield DriftRow(
            protocol=run.protocol,
            version=run.series_version,
            setup=run.setup,
            floor=run.floor,
            run=run.run,
            day=run.day,
            at=run.at,
            position=i + 1,
            value=half_even(run.value, digits),
            day_position=at_day + 1,
            day_value=half_even(days[run.day], digits),
            **asdict(limits),
        )


def _chart_row(
    first: ReferenceRun, days: Mapping[str, float], chart: ControlChart | None, digits: int
) -> DriftChartRow:
    """What one chart can see; a step is looked for in the days that its limits come from."""
    values = np.array(list(days.values()))
    baseline = chart.baseline if chart else None
    step = find_step(values[:baseline]) if chart else None
    return DriftChartRow(
        protocol=first.protocol,
        version=first.series_version,
        setup=first.setup,
        floor=first.floor,
        days=len(days),
        baseline=baseline,
        matters=first.matters,
        days_ahead=DAYS_AHEAD,
        chance_of_false_alarm=_chance(chart, values, 0.0),
        chance_to_see=_chance(chart, values, first.matters),
        step_on=list(days)[step.before] if step else None,
        step_size=published(step.size, digits) if step else None,
        step_p=published(step.p, CHANCE_DIGITS + 1) if step else None,
    )


def _chance(chart: ControlChart | None, values: Floats, step: float) -> float | None:
    if chart is None:
        return None
    return published(chance_of_alarm(len(values), step / chart.sigma), CHANCE_DIGITS)


@dataclass(frozen=True)
class _Limits:
    """What the chart says at one day; None where there is no chart yet."""

    baseline: int | None
    centre: float | None
    sigma: float | None
    lower: float | None
    upper: float | None
    moving_average: float | None
    average_lower: float | None
    average_upper: float | None
    flags: str
    notices: str


NO_LIMITS = _Limits(None, None, None, None, None, None, None, None, "", "")


def _limits(chart: ControlChart, i: int, digits: int) -> _Limits:
    signals = chart.signals()[i]
    return _Limits(
        baseline=chart.baseline,
        centre=published(chart.centre, digits),
        sigma=published(chart.sigma, digits),
        lower=published(chart.centre - float(chart.half_width[i]), digits),
        upper=published(chart.centre + float(chart.half_width[i]), digits),
        moving_average=published(float(chart.ewma[i]), digits),
        average_lower=published(chart.centre - float(chart.ewma_half_width[i]), digits),
        average_upper=published(chart.centre + float(chart.ewma_half_width[i]), digits),
        flags="|".join(signal.value for signal in signals if signal in FLAGGING),
        notices="|".join(signal.value for signal in signals if signal not in FLAGGING),
    )
