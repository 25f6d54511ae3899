"""What is worth running next.

In:  a bench, today, and what was asked.
Out: a ``Plan``: what is missing, what is suggested, and the runs that a sheet would hold.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from trialpress.bench import Bench
from trialpress.desk.measured import measured_store
from trialpress.desk.plan.evening import Duration, duration_of
from trialpress.desk.plan.fitting import Hours, due_before, fitted
from trialpress.desk.plan.missing import Missing, missing_runs, of_protocol
from trialpress.desk.plan.separating import suggest_separating
from trialpress.desk.plan.series import NoSuchSeriesError, Suggestion, Wanted, read_series
from trialpress.desk.plan.settling import suggest_settling
from trialpress.desk.plan.spreading import evenings_for
from trialpress.intake import CheckedBench, Table, read_bench
from trialpress.view import View
from trialpress.view.plans import Pace, Tally

RUNS = 6
_HOUR = 60


@dataclass(frozen=True)
class PlanQuestion:
    """What the tester asks; without ``settle`` and ``separate`` it is what is missing.

    ``top_n`` and ``runs`` are None for the bench's own cut, and for six runs or all that are
    missing; ``evenings`` for as many as suit the series. ``beyond_embargo`` plans for set-ups under
    embargo like for any other. ``hours`` are those of an evening, into which the runs have to fit.
    """

    protocol: str | None = None
    settle: bool = False
    separate: tuple[str, str] | None = None
    top_n: int | None = None
    runs: int | None = None
    beyond_embargo: bool = True
    evenings: int | None = None
    hours: float | None = None


@dataclass(frozen=True)
class Plan:
    """The answer; ``tallies`` say how things stand in every series that is still run.

    The runs of the suggestion are meant for ``evenings``; ``due`` is what to do before the first,
    where their hours were asked about.
    """

    missing: tuple[Missing, ...]
    suggestion: Suggestion
    evenings: int
    tallies: tuple[Tally, ...]
    duration: Duration
    due: tuple[str, ...] = ()


def make_plan(bench: Bench, as_of: date, question: PlanQuestion) -> Plan:
    """Work out what is worth running.

    Raises
    ------
    FaultyBenchError
        If the data have faults.
    NoSuchSeriesError, NothingToGoOnError
        If the question cannot be answered.
    """
    checked = read_bench(bench, as_of)
    if question.beyond_embargo:
        checked = without_embargo(checked)
    with measured_store(checked, as_of) as store:
        view = View(store)
        tallies = view.tallies
        known = [tally.protocol for tally in tallies]
        if question.protocol is not None and question.protocol not in known:
            raise NoSuchSeriesError(question.protocol, known)
        missing = of_protocol(missing_runs(tallies), question.protocol)
        suggestion, evenings = _suggestion(view, missing, question)
        due: tuple[str, ...] = ()
        if question.hours is not None:
            hours = Hours(_HOUR * question.hours, evenings)
            suggestion = fitted(suggestion, tallies, view.paces, hours)
            due = tuple(due_before(view.instruments, as_of))
        duration = duration_of(suggestion.wanted, view.paces)
        return Plan(missing, suggestion, evenings, tuple(tallies), duration, due)


def _suggestion(
    view: View, missing: tuple[Missing, ...], question: PlanQuestion
) -> tuple[Suggestion, int]:
    """The runs to make, and over how many evenings."""
    settings = view.settings
    if question.protocol is None or not (question.settle or question.separate):
        missed = Suggestion(_first(missing, question.runs), (), "plan: missing runs")
        return missed, question.evenings or 1
    series = read_series(view, question.protocol)
    evenings = question.evenings or evenings_for(series)
    if question.separate is not None:
        pair = question.separate
        return suggest_separating(series, pair, settings.confidence, evenings), evenings
    top_n = question.top_n or settings.top_n
    runs = question.runs or _runs_in(question, view.paces, evenings) or RUNS
    return suggest_settling(series, top_n, runs), evenings


def _runs_in(question: PlanQuestion, paces: Mapping[str, Pace], evenings: int) -> int | None:
    """How many runs of the protocol there are hours for, if that is asked and was ever timed.

    Two runs of each evening are the reference's.
    """
    pace = paces.get(question.protocol or "")
    if question.hours is None or pace is None:
        return None
    return max(evenings * (math.floor(_HOUR * question.hours / pace.minutes) - 2), 1)


def _first(missing: tuple[Missing, ...], runs: int | None) -> tuple[Wanted, ...]:
    """What is missing, up to a number of runs."""
    wanted: list[Wanted] = []
    left = runs if runs is not None else sum(shortfall.runs for shortfall in missing)
    for shortfall in missing:
        given = min(shortfall.runs, left)
        left -= given
        if given:
            wanted.append(Wanted(shortfall.tally, given))
    return tuple(wanted)


def without_embargo(checked: CheckedBench) -> CheckedBench:
    """The bench as its tester may see it: set-ups under embargo are planned for like any other."""
    setups = checked.tables["setups"]
    as_typed, corrected = (
        [replace(row, cells={**row.cells, "publish_on": None}) for row in rows]
        for rows in (setups.as_typed, setups.corrected)
    )
    seen = Table(setups.name, as_typed, corrected)
    return replace(checked, tables={**checked.tables, "setups": seen})
