"""The bench watched by its reference set-ups.

In:  their runs, from the store.
Out: table ``drift``: every reference run with its chart's limits and what is out of line.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from itertools import groupby

import numpy as np

from trialpress.results.control_chart import FLAGGING, ControlChart, control_chart
from trialpress.results.records import DriftRow
from trialpress.results.rounding import half_even, published
from trialpress.store import Store, read_sql


@dataclass(frozen=True)
class ReferenceRun:
    """A valid run of a reference set-up, unrounded."""

    protocol: str
    series_version: int
    setup: str
    floor: str
    run: str
    day: str
    at: str
    value: float


def write_drift(store: Store, decimals: Mapping[tuple[str, int], int]) -> None:
    """Write ``drift``: one chart a series, reference set-up and floor."""
    sql = read_sql("trialpress.results", "queries/reference_runs.sql")
    runs = store.records(ReferenceRun, sql)
    rows: list[DriftRow] = []
    for _, group in groupby(runs, key=_segment):
        segment = list(group)
        digits = decimals[segment[0].protocol, segment[0].series_version] + 1
        rows += _chart_rows(segment, digits)
    store.write_records("drift", DriftRow, rows)


@dataclass(frozen=True)
class OutOfLine:
    """A reference run with what is out of line: flags mark numbers, notices only ask for a look."""

    protocol: str
    version: int
    setup: str
    floor: str
    day: str
    run: str
    flags: str
    notices: str

    @property
    def text(self) -> str:
        """One line for the tester."""
        where = f"{self.protocol} version {self.version} on {self.floor}, {self.day}"
        if self.flags:
            told = f"{self.flags.replace(' ', ', ')}; every number of that day is marked"
        else:
            told = f"{self.notices.replace(' ', ', ')}; nothing is marked, have a look"
        return f"{where}: run {self.run} of {self.setup} is out of line: {told}"


def read_out_of_line(store: Store) -> list[OutOfLine]:
    """Reference runs that are out of line, by series and in the order they were made."""
    return store.records(OutOfLine, read_sql("trialpress.results", "queries/out_of_line.sql"))


def _segment(run: ReferenceRun) -> tuple[str, int, str, str]:
    return run.protocol, run.series_version, run.setup, run.floor


def _chart_rows(segment: list[ReferenceRun], digits: int) -> Iterable[DriftRow]:
    chart = control_chart(np.array([run.value for run in segment]))
    for i, run in enumerate(segment):
        limits = _limits(chart, i, digits) if chart else NO_LIMITS
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
            **asdict(limits),
        )


@dataclass(frozen=True)
class _Limits:
    """What the chart says at one run; None where there is no chart yet."""

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
    told = chart.signals()[i]
    return _Limits(
        baseline=chart.baseline,
        centre=published(chart.centre, digits),
        sigma=published(chart.sigma, digits),
        lower=published(chart.centre - chart.half_width, digits),
        upper=published(chart.centre + chart.half_width, digits),
        moving_average=published(float(chart.ewma[i]), digits),
        average_lower=published(chart.centre - chart.ewma_half_width, digits),
        average_upper=published(chart.centre + chart.ewma_half_width, digits),
        flags="|".join(signal.value for signal in told if signal in FLAGGING),
        notices="|".join(signal.value for signal in told if signal not in FLAGGING),
    )
