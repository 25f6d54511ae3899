"""What there is to say of a run before it is written: value, uncertainty, warnings.

In:  a bench and a draft. Intake's rules and the measure stage work on a copy with the draft in it;
     nothing is judged or worked out in any other way.
Out: an ``Assessment``, with how far the run lies from the other runs of its set-up. Whether that is
     too far is a finding of intake.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from math import isnan

import numpy as np

from trialpress.bench import Bench
from trialpress.desk.bench_copy import copied_bench
from trialpress.desk.measured import EVERYTHING, MeasuredRun, measured_store, runs_of
from trialpress.desk.replacing import replace_durably
from trialpress.desk.sheet.draft import Draft, Filled, fill
from trialpress.intake import (
    CheckedBench,
    FaultyBenchError,
    Finding,
    FindingCode,
    Severity,
    read_bench,
)
from trialpress.measure import budget_of_run
from trialpress.results.places import places_of
from trialpress.results.ranking import Ranking
from trialpress.results.rounding import decimals_for, half_even, published
from trialpress.results.working import ranking_of
from trialpress.site import wording
from trialpress.store import Store
from trialpress.view import View
from trialpress.words import figures


@dataclass(frozen=True)
class Stands:
    """Where the set-up of a run would stand with it, among set-ups that may be seen."""

    mean: str
    interval: str
    runs: str
    place: int
    place_best: int
    place_worst: int
    ranked: int


@dataclass(frozen=True)
class Assessment:
    """Sentences for the bench sheet; ``value`` is None where ``without_value`` says why."""

    findings: tuple[Finding, ...]
    value: str | None = None
    uncertainty: str | None = None
    others: str | None = None
    is_far: bool = False
    stands: Stands | None = None
    without_value: str | None = None

    @property
    def may_be_kept(self) -> bool:
        """Whether nothing about the run itself would stop the build."""
        return not any(finding.severity is Severity.ERROR for finding in self.findings)


@dataclass(frozen=True)
class Deviation:
    """``spread`` and ``in_spreads`` are None where no spread can be had."""

    runs: int
    mean: float
    difference: float
    spread: float | None
    in_spreads: float | None


def assess(
    bench: Bench,
    draft: Draft,
    known: Iterable[Finding],
    now: datetime | None = None,
    *,
    hidden: frozenset[str] = frozenset(),
) -> Assessment:
    """Say what a draft would be as a run.

    Parameters
    ----------
    bench : Bench
        The bench as it is.
    draft : Draft
        The rows of one run.
    known : iterable of Finding
        What is known to be wrong with the bench without the draft.
    now : datetime or None
        The clock, with its time zone; ``None``: nobody looks at it.
    hidden : frozenset of str
        Set-ups under embargo: among others the run's own is ranked without them.

    Raises
    ------
    RunTypedError, NoSuchColumnError, UnreadableTableError
        If the rows have no place in their file.
    """
    filled = fill(draft.file(bench), draft)
    name = bench.name_of(filled.file)
    with copied_bench(bench) as copy:
        replace_durably(copy.root / name, filled.data)
        try:
            checked = read_bench(copy, None, now)
        except FaultyBenchError as error:
            own = _own(error.findings, name, filled, frozenset(known))
            return Assessment(own, without_value=_why_none(error.findings, own))
        own = _own(checked.findings, name, filled, frozenset(known))
        return _measured(checked, draft.run, own, hidden)


def _own(
    findings: Iterable[Finding], name: str, filled: Filled, known: frozenset[Finding]
) -> tuple[Finding, ...]:
    """What is said of the draft's rows, or only since they are there: what stops a build first."""
    own = (
        finding
        for finding in findings
        if (finding.file == name and finding.row in filled.rows) or finding not in known
    )
    return tuple(sorted(own, key=lambda finding: finding.severity is not Severity.ERROR))


def _why_none(findings: Iterable[Finding], own: tuple[Finding, ...]) -> str:
    if any(finding.severity is Severity.ERROR for finding in own):
        return "No value: mend what is said below first."
    errors = sum(finding.severity is Severity.ERROR for finding in findings)
    return (
        f"No value: other rows of the bench have {figures.count(errors, 'fault', 'faults')}. "
        "The run can be kept; its value shows when they are mended."
    )


def _measured(
    checked: CheckedBench, run: str, own: tuple[Finding, ...], hidden: frozenset[str]
) -> Assessment:
    with measured_store(checked, EVERYTHING) as store:
        runs = runs_of(store)
        this = next((other for other in runs if other.run == run), None)
        if this is None:
            return Assessment(own, without_value="No value: the run does not count.")
        in_words = _worded(store, this, own)
        return replace(in_words, stands=_stands(store, this, hidden))


def _worded(store: Store, this: MeasuredRun, own: tuple[Finding, ...]) -> Assessment:
    means = ranking_of(store, this.protocol, this.version).means
    decimals = decimals_for((means.high - means.low) / 2) + 1  # as runs are published
    u_value = float(budget_of_run(store, this.run).standard_uncertainty[0])
    deviation = _deviation(store, this)
    return Assessment(
        own,
        value=figures.with_unit(figures.number(this.value, decimals), this.unit),
        uncertainty=_uncertainty(u_value, decimals, this.unit),
        others=_others(deviation, decimals, this.unit),
        is_far=any(finding.code is FindingCode.RUN_FAR_OFF for finding in own),
    )


def _stands(store: Store, this: MeasuredRun, hidden: frozenset[str]) -> Stands:
    others_hidden = hidden - {this.setup}
    ranking = ranking_of(store, this.protocol, this.version, without=others_hidden)
    means, i = ranking.means, [cell.setup for cell in ranking.cells].index(this.setup)
    decimals = decimals_for((means.high - means.low) / 2)
    mean, low, high = (float(column[i]) for column in (means.mean, means.low, means.high))
    rounded = np.array([half_even(one, decimals) for one in means.mean.tolist()])
    series = View(store).series[this.protocol, this.version].name
    places = places_of(rounded, higher_is_better=series.higher_is_better)
    return Stands(
        mean=figures.with_unit(figures.number(mean, decimals), this.unit),
        interval="" if isnan(low) else figures.interval(low, high, decimals),
        runs=figures.count(ranking.cells[i].n, "run", "runs"),
        place=int(places[i]),
        place_best=int(ranking.place_best[i]),
        place_worst=int(ranking.place_worst[i]),
        ranked=len(rounded),
    )


def _deviation(store: Store, this: MeasuredRun) -> Deviation | None:
    try:
        others = ranking_of(store, this.protocol, this.version, without_run=this.run)
    except KeyError:  # the first run of the series
        return None
    return deviation_from_others(this.value, others, this.setup)


def _uncertainty(u_value: float, decimals: int, unit: str) -> str:
    if u_value != u_value:  # noqa: PLR0124  NaN: a component is not known
        return "standard uncertainty unknown"
    words = wording.uncertainty(published(u_value, decimals), decimals)
    return f"standard uncertainty {figures.with_unit(words, unit)}"


def _others(deviation: Deviation | None, decimals: int, unit: str) -> str:
    if deviation is None:
        return "The first run of this set-up here: there is nothing to compare it with."
    side = "above" if deviation.difference > 0 else "below"
    off = figures.with_unit(figures.number(abs(deviation.difference), decimals), unit)
    mean = figures.with_unit(figures.number(deviation.mean, decimals), unit)
    runs = figures.count(deviation.runs, "run", "runs")
    words = f"{off} {side} the mean of this set-up's other {runs} ({mean})"
    if deviation.in_spreads is None or deviation.spread is None:
        return f"{words}. No run-to-run spread is known yet."
    spread = figures.with_unit(figures.number(deviation.spread, decimals), unit)
    return f"{words}: {deviation.in_spreads:.1f} times the run-to-run spread of {spread}."


def deviation_from_others(value: float, others: Ranking, setup: str) -> Deviation | None:
    """Compare one run with the others of its set-up; None where there are none.

    Parameters
    ----------
    value : float
        The run.
    others : Ranking
        The series without it.
    setup : str
        The set-up it is of.
    """
    setups = [cell.setup for cell in others.cells]
    if setup not in setups:
        return None
    i = setups.index(setup)
    mean, spread = float(others.means.mean[i]), float(others.spread_of_runs[i])
    difference = value - mean
    if not spread > 0:
        return Deviation(others.cells[i].n, mean, difference, None, None)
    return Deviation(others.cells[i].n, mean, difference, spread, abs(difference) / spread)
