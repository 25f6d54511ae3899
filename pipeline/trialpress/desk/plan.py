"""What is worth running next.

In:  a bench, today, and what was asked.
Out: a ``Plan``: what is missing, what is suggested, and the runs that a sheet would hold.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from trialpress.bench import Bench
from trialpress.desk.duration import Duration, duration_of, read_paces
from trialpress.desk.missing import Missing, Tally, missing_runs, of_protocol
from trialpress.desk.planroom import plan_room, read_tallies
from trialpress.desk.suggest import (
    NoSuchSeriesError,
    Suggestion,
    Wanted,
    read_series,
    suggest_separating,
    suggest_settling,
)
from trialpress.store import Store

RUNS = 6


@dataclass(frozen=True)
class Question:
    """What the tester asks; without ``settle`` and ``separate`` it is what is missing.

    ``top_n`` and ``runs`` are None for the bench's own cut, and for six runs or all that are
    missing.
    """

    protocol: str | None = None
    settle: bool = False
    separate: tuple[str, str] | None = None
    top_n: int | None = None
    runs: int | None = None


@dataclass(frozen=True)
class Plan:
    """The answer; ``tallies`` say how things stand in every series that is still run."""

    missing: tuple[Missing, ...]
    suggestion: Suggestion
    tallies: tuple[Tally, ...]
    duration: Duration


def make_plan(bench: Bench, as_of: date, question: Question) -> Plan:
    """Work out what is worth running.

    Raises
    ------
    FaultyBenchError
        If the data have faults.
    NoSuchSeriesError, NothingToGoOnError
        If the question cannot be answered.
    """
    with plan_room(bench, as_of) as store:
        tallies = read_tallies(store)
        known = [tally.protocol for tally in tallies]
        if question.protocol is not None and question.protocol not in known:
            raise NoSuchSeriesError(question.protocol, known)
        missing = of_protocol(missing_runs(tallies), question.protocol)
        suggestion = _suggestion(store, tallies, missing, question)
        duration = duration_of(suggestion.wanted, read_paces(store))
        return Plan(missing, suggestion, tuple(tallies), duration)


def _suggestion(
    store: Store, tallies: list[Tally], missing: tuple[Missing, ...], question: Question
) -> Suggestion:
    settings = store.settings
    if question.protocol is not None and question.settle:
        series = read_series(store, tallies, question.protocol)
        return suggest_settling(series, question.top_n or settings.top_n, question.runs or RUNS)
    if question.protocol is not None and question.separate is not None:
        series = read_series(store, tallies, question.protocol)
        return suggest_separating(series, *question.separate, settings.confidence)
    return Suggestion(_first(missing, question.runs), (), "plan: missing runs")


def _first(missing: tuple[Missing, ...], runs: int | None) -> tuple[Wanted, ...]:
    """What is missing, up to a number of runs."""
    wanted: list[Wanted] = []
    left = runs if runs is not None else sum(one.runs for one in missing)
    for one in missing:
        given = min(one.runs, left)
        left -= given
        if given:
            wanted.append(Wanted(one.tally, given))
    return tuple(wanted)
