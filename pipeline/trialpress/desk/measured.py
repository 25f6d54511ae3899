"""A bench measured in memory, for its tester: no chart, no page, nothing on the disk.

In:  a checked bench and a date; or a bench folder, of which everything typed counts, later days and
     set-ups under embargo too: pages made of that never leave the machine.
Out: a measured store; a ``BenchState`` with the findings and the runs, two of which give the cells
     that a saved file changed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime

from trialpress.bench import Bench
from trialpress.intake import CheckedBench, FaultyBenchError, Finding, read_bench
from trialpress.measure import measure_runs
from trialpress.results.rounding import decimals_for
from trialpress.results.working import ranking_of
from trialpress.store import Store, build_store
from trialpress.view import View
from trialpress.words import figures

EVERYTHING = date.max


@dataclass(frozen=True)
class MeasuredRun:
    """One valid run; ``version`` is that of its series, ``name`` its set-up's."""

    run: str
    setup: str
    protocol: str
    version: int
    value: float
    title: str
    unit: str
    name: str


@dataclass(frozen=True)
class BenchState:
    """A bench as read once; ``checked`` and ``store`` are there where there were no errors."""

    findings: tuple[Finding, ...]
    checked: CheckedBench | None
    store: Store | None
    runs: Mapping[str, MeasuredRun]


@contextmanager
def measured_store(checked: CheckedBench, as_of: date) -> Iterator[Store]:
    """The store of a bench as visible on a date, measured, and closed afterwards."""
    store = build_store(checked, as_of, for_results_only=True)
    try:
        measure_runs(store)
        yield store
    finally:
        store.connection.close()


def read_state(bench: Bench, now: datetime | None = None) -> BenchState:
    """Read, check and measure everything; where ``now`` is given, runs ahead of it are found."""
    try:
        checked = read_bench(bench, None, now)
    except FaultyBenchError as error:
        return BenchState(error.findings, None, None, {})
    store = build_store(checked, EVERYTHING, for_results_only=True)
    measure_runs(store)
    return BenchState(checked.findings, checked, store, {run.run: run for run in runs_of(store)})


def runs_of(store: Store) -> list[MeasuredRun]:
    """Every valid run of a store that was measured."""
    view = View(store)
    return [
        MeasuredRun(
            run=run.run,
            setup=run.setup,
            protocol=run.protocol,
            version=run.series_version,
            value=view.run_value[run.run],
            title=view.series[run.protocol, run.series_version].title,
            unit=view.series[run.protocol, run.series_version].unit,
            name=view.names.setups[run.setup].full,
        )
        for run in view.runs
        if run.run in view.run_value
    ]


def changed_cells(before: BenchState, after: BenchState) -> tuple[str, ...]:
    """A sentence for each cell that has other runs than before; none where a state has errors."""
    if before.store is None or after.store is None:
        return ()
    differing = [
        run
        for name in sorted(before.runs.keys() | after.runs.keys())
        if before.runs.get(name) != after.runs.get(name)
        for run in (before.runs.get(name), after.runs.get(name))
        if run is not None
    ]
    cells = {(run.title, run.name, run.protocol, run.version, run.setup): run for run in differing}
    return tuple(_sentence(before.store, after.store, cells[key]) for key in sorted(cells))


def _sentence(before: Store, after: Store, run: MeasuredRun) -> str:
    was, now = _cell(before, run), _cell(after, run)
    change = f"{now or 'no valid run'}; was {was}" if was else f"{now}; the first"
    return f"{run.name}, {run.title}: {change}."


def _cell(store: Store, run: MeasuredRun) -> str | None:
    """Mean, interval and number of runs of a cell in words; None where it has no run."""
    try:
        ranking = ranking_of(store, run.protocol, run.version)
    except KeyError:
        return None
    setups = [cell.setup for cell in ranking.cells]
    if run.setup not in setups:
        return None
    i, means = setups.index(run.setup), ranking.means
    decimals = decimals_for((means.high - means.low) / 2)
    mean = figures.with_unit(figures.number(float(means.mean[i]), decimals), run.unit)
    low, high = float(means.low[i]), float(means.high[i])
    interval = "" if low != low else f" ({figures.interval(low, high, decimals)})"  # noqa: PLR0124 NaN
    return f"{mean}{interval} from {figures.count(ranking.cells[i].n, 'run', 'runs')}"
