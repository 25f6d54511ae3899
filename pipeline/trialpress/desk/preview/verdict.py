"""What there is to say of a run before it is written: value, uncertainty, warnings.

In:  a bench and a draft. Intake's rules and the measure stage work on a copy with the draft in it;
     nothing is judged or worked out in any other way.
Out: a ``Verdict``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from trialpress.bench import Bench
from trialpress.desk.preview.draft import Draft
from trialpress.desk.preview.filling import Filled, fill
from trialpress.desk.preview.look import EVERYTHING, RunLook, runs_of
from trialpress.desk.preview.nearness import Nearness, nearness
from trialpress.desk.replacing import replace_durably
from trialpress.desk.trial import trial_bench
from trialpress.intake import (
    CheckedBench,
    FaultyBenchError,
    Finding,
    FindingCode,
    Severity,
    read_bench,
)
from trialpress.measure import budget_of_run, measure_runs
from trialpress.results.rounding import decimals_for, published
from trialpress.results.working import ranking_of
from trialpress.site import wording
from trialpress.store import Store, build_store
from trialpress.words import figures


@dataclass(frozen=True)
class Verdict:
    """Sentences for the bench sheet; ``value`` is None where ``without_value`` says why."""

    findings: tuple[Finding, ...]
    value: str | None = None
    uncertainty: str | None = None
    others: str | None = None
    is_far: bool = False
    without_value: str | None = None

    @property
    def may_be_kept(self) -> bool:
        """Whether nothing about the run itself would stop the build."""
        return not any(finding.severity is Severity.ERROR for finding in self.findings)


def judge(
    bench: Bench, draft: Draft, known: Iterable[Finding], now: datetime | None = None
) -> Verdict:
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

    Raises
    ------
    RunTypedError, NoSuchColumnError, UnreadableTableError
        If the rows have no place in their file.
    """
    filled = fill(draft.file(bench), draft)
    name = bench.name_of(filled.file)
    with trial_bench(bench) as copy:
        replace_durably(copy.root / name, filled.data)
        try:
            checked = read_bench(copy, None, now)
        except FaultyBenchError as error:
            own = _own(error.findings, name, filled, frozenset(known))
            return Verdict(own, without_value=_why_none(error.findings, own))
        own = _own(checked.findings, name, filled, frozenset(known))
        return _measured(checked, draft.run, own)


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


def _measured(checked: CheckedBench, run: str, own: tuple[Finding, ...]) -> Verdict:
    store = build_store(checked, EVERYTHING)
    try:
        measure_runs(store)
        runs = runs_of(store)
        this = next((look for look in runs if look.run == run), None)
        if this is None:
            return Verdict(own, without_value="No value: the run does not count.")
        return _told(store, this, runs, own)
    finally:
        store.connection.close()


def _told(
    store: Store, this: RunLook, runs: Iterable[RunLook], own: tuple[Finding, ...]
) -> Verdict:
    means = ranking_of(store, this.protocol, this.version).means
    decimals = decimals_for((means.high - means.low) / 2) + 1  # as runs are published
    u_value = float(budget_of_run(store, this.run).standard_uncertainty[0])
    near = _nearness(this, runs)
    return Verdict(
        own,
        value=figures.with_unit(figures.number(this.value, decimals), this.unit),
        uncertainty=_uncertainty(u_value, decimals, this.unit),
        others=_others(near, decimals, this.unit),
        is_far=any(finding.code is FindingCode.RUN_FAR_OFF for finding in own),
    )


def _nearness(this: RunLook, runs: Iterable[RunLook]) -> Nearness | None:
    series = (this.protocol, this.version)
    rest = [run for run in runs if (run.protocol, run.version) == series and run.run != this.run]
    by_setup = groupby(sorted(rest, key=lambda run: run.setup), key=lambda run: run.setup)
    cells = {setup: [run.value for run in group] for setup, group in by_setup}
    return nearness(this.value, cells.get(this.setup, ()), list(cells.values()))


def _uncertainty(u_value: float, decimals: int, unit: str) -> str:
    if u_value != u_value:  # noqa: PLR0124  NaN: a component is not known
        return "standard uncertainty unknown"
    told = wording.uncertainty(published(u_value, decimals), decimals)
    return f"standard uncertainty {figures.with_unit(told, unit)}"


def _others(near: Nearness | None, decimals: int, unit: str) -> str:
    if near is None:
        return "The first run of this set-up here: there is nothing to compare it with."
    side = "above" if near.difference > 0 else "below"
    off = figures.with_unit(figures.number(abs(near.difference), decimals), unit)
    mean = figures.with_unit(figures.number(near.mean, decimals), unit)
    runs = figures.count(near.runs, "run", "runs")
    told = f"{off} {side} the mean of this set-up's other {runs} ({mean})"
    if near.in_spreads is None or near.spread is None:
        return f"{told}. No run-to-run spread is known yet."
    spread = figures.with_unit(figures.number(near.spread, decimals), unit)
    return f"{told}: {near.in_spreads:.1f} times the run-to-run spread of {spread}."
