"""One set-up in one series: its runs, its interval and how its place came about.

In:  the view.
Out: ``CellExplanation``, whose steps can be followed with a pocket calculator.
"""

from __future__ import annotations

import functools
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from trialpress.errors import UsageError
from trialpress.explain.steps import WorkingStep, steps_of
from trialpress.intake.nearest import meant
from trialpress.results.ranking import Ranking
from trialpress.results.working import ranking_of
from trialpress.store import grouped
from trialpress.view import Deferred, SeriesKey, View, verdicts
from trialpress.view.results import Standing
from trialpress.view.sentences.chance import chance_beside_range


class NoSuchCellError(UsageError):
    """The set-up has no valid run under the protocol."""

    def __init__(self, view: View, setup: str, protocol: str) -> None:
        setups = frozenset(run.setup for run in view.runs)
        protocols = frozenset(run.protocol for run in view.runs)
        meant_ones = "" if setup in setups else meant(setup, setups)
        meant_ones += "" if protocol in protocols else meant(protocol, protocols)
        super().__init__(
            f"{setup} has no valid run under {protocol} to be seen as of {view.store.as_of}. "
            f"{meant_ones or 'Check both names. '}"
            "What is later or under embargo is seen with --as-of DATE."
        )


@dataclass(frozen=True)
class ExplainedRun:
    """A run of the cell."""

    run: str
    day: str
    value: float
    u_value: float | None
    flags: str


@dataclass(frozen=True)
class Opponent:
    """Another set-up that can be told apart from this one."""

    setup: str
    difference: float
    low: float
    high: float
    relation: str


@dataclass(frozen=True)
class Untold:
    """How many set-ups cannot be told apart from this one, and what their difference may be."""

    relation: str
    setups: int


@dataclass(frozen=True)
class CellExplanation:
    """A cell worked out and its place, with everyone it can be told apart from.

    ``marks`` are what must be known before its place is used, ``top`` whether it is in the cut, and
    ``chance`` explains a chance of the cut that seems to say otherwise; each in words.
    """

    setup: str
    protocol: str
    version: int
    unit: str
    runs: tuple[ExplainedRun, ...]
    steps: tuple[WorkingStep, ...]
    mean: float
    low: float | None
    high: float | None
    confidence: float
    place: int
    place_best: int
    place_worst: int
    set_ups: int
    marks: tuple[str, ...]
    top: str
    chance: str
    told_apart: tuple[Opponent, ...]
    untold: tuple[Untold, ...]
    why: str | None


def explain_cell(
    view: View, setup: str, protocol: str, version: int | None = None
) -> CellExplanation:
    """Explain the standing of one set-up.

    Parameters
    ----------
    view : View
        Of a store with every result table.
    setup, protocol : str
        Slugs.
    version : int, optional
        A version of the series; the newest series where not given.

    Raises
    ------
    NoSuchCellError
        If the set-up has no valid run there.
    """
    found = [
        row
        for series in view.protocols
        if series.protocol == protocol
        and (series.is_current if version is None else series.version == version)
        for row in view.standings_of.get((protocol, series.series_version), ())
        if row.setup == setup
    ]
    if not found:
        raise NoSuchCellError(view, setup, protocol)
    explained = _explained(view, found[0], ranking_of(view.store, *found[0].key))
    return replace(
        explained,
        told_apart=tuple(_told_apart(view, found[0])),
        untold=tuple(_untold(view, found[0])),
    )


def explain_machines(view: View) -> Mapping[str, tuple[CellExplanation, ...]]:
    """By machine, every standing of its set-ups explained.

    Opponents are left out: there are as many for each.
    """

    @functools.cache
    def ranking(key: SeriesKey) -> Ranking:
        return ranking_of(view.store, *key)

    def explained(rows: Sequence[Standing]) -> tuple[CellExplanation, ...]:
        return tuple(_explained(view, row, ranking(row.key)) for row in rows)

    standings = grouped(view.standings, lambda row: row.machine)
    return Deferred({machine: partial(explained, rows) for machine, rows in standings.items()})


def _explained(view: View, standing: Standing, ranking: Ranking) -> CellExplanation:
    confidence = view.settings.confidence
    index = [cell.setup for cell in ranking.cells].index(standing.setup)
    return CellExplanation(
        setup=standing.setup,
        protocol=standing.protocol,
        version=standing.version,
        unit=standing.unit,
        runs=tuple(_runs(view, standing)),
        steps=steps_of(ranking, index, confidence),
        mean=standing.mean,
        low=standing.low,
        high=standing.high,
        confidence=confidence,
        place=standing.place,
        place_best=standing.place_best,
        place_worst=standing.place_worst,
        set_ups=len(ranking.cells),
        marks=verdicts.marks_of(standing),
        top=verdicts.top_cut(standing.top).words,
        chance=chance_beside_range(standing, view.settings.top_n),
        told_apart=(),
        untold=(),
        why=ranking.why,
    )


def _runs(view: View, standing: Standing) -> Iterator[ExplainedRun]:
    runs = view.runs_of[standing.key, standing.setup]
    for run in sorted(runs, key=lambda run: (run.at, run.run)):
        result = view.run_result.get(run.run)
        if result is not None:
            yield ExplainedRun(run.run, run.day, result.value, result.u_value, result.flags)


def _told_apart(view: View, standing: Standing) -> list[Opponent]:
    """Those it is better than, largest difference first, then those it is worse than."""
    opponents = [
        Opponent(pair.other, pair.difference, pair.low, pair.high, pair.relation)
        for pair in view.comparisons(standing.key).of(standing.setup)
        if pair.relation in ("better", "worse") and pair.low is not None and pair.high is not None
    ]
    return sorted(opponents, key=lambda other: (other.relation, -other.difference, other.setup))


def _untold(view: View, standing: Standing) -> Iterator[Untold]:
    """Set-ups that cannot be told apart from it, by the differences that are left open."""
    sides = Counter(
        pair.could_matter
        for pair in view.comparisons(standing.key).of(standing.setup)
        if pair.relation == "cannot tell"
    )
    for side in sorted(sides):
        yield Untold(verdicts.relation("cannot tell", could_matter=side).words, sides[side])
