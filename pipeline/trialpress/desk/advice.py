"""Which runs to make next: those that are missing, and those that would settle a question.

In:  a store with every result table.
Out: advice, as records that the command line prints.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trialpress.errors import UsageError
from trialpress.results.cells import run_counts
from trialpress.results.places import Top, top_of
from trialpress.results.planning import Bout, Cut, runs_to_separate, settle
from trialpress.results.ranking import Ranking
from trialpress.results.working import ranking_of
from trialpress.store import Store, read_sql

PACKAGE = "trialpress.desk"


class NotComparedError(UsageError):
    """The protocol, or a set-up under it, has no valid run to go by."""

    def __init__(self, what: str) -> None:
        super().__init__(
            f"{what} has no valid run to go by. Check the names; `trialpress plan` without options "
            "lists the runs that are missing."
        )


class NoSpreadError(UsageError):
    """Without a spread no number of runs can be worked out."""

    def __init__(self, protocol: str, why: str) -> None:
        super().__init__(
            f"nothing can be worked out for {protocol} yet: {why}. Make a second run of at least "
            "one set-up first."
        )


@dataclass(frozen=True)
class MissingRuns:
    """Runs that a set-up is short of under a protocol."""

    protocol: str
    version: int
    setup: str
    made: int
    missing: int


@dataclass(frozen=True)
class SetupRuns:
    """Further runs of one set-up."""

    setup: str
    runs: int


@dataclass(frozen=True)
class SettleAdvice:
    """Further runs that most reduce the doubt about who is in a cut.

    ``doubt`` is the sum of p(1 - p) over the chances to be in the cut; ``doubt_after`` is that of
    the same means with the further runs made.
    """

    protocol: str
    version: int
    top_n: int
    possible: int
    doubt: float
    doubt_after: float
    further: tuple[SetupRuns, ...]


@dataclass(frozen=True)
class SeparateAdvice:
    """Further runs that each of two set-ups needs; None where no sensible number is enough."""

    protocol: str
    version: int
    setup: str
    other: str
    difference: float
    matters: float
    unit: str
    power: float
    further_each: int | None


@dataclass(frozen=True)
class _Series:
    version: int
    matters: float
    unit: str
    higher_is_better: bool


def missing_runs(store: Store) -> list[MissingRuns]:
    """Runs that the current protocols ask for and that were not made."""
    return store.records(MissingRuns, read_sql(PACKAGE, "queries/missing_runs.sql"))


def settle_advice(store: Store, protocol: str, top_n: int, runs: int) -> SettleAdvice:
    """Say which further runs would most reduce the doubt about the first ``top_n``.

    Raises
    ------
    NotComparedError
        If the protocol has no valid run.
    NoSpreadError
        If the series has no spread.
    """
    series, ranking = _worked(store, protocol)
    counts = run_counts(ranking.cells)
    sign = 1.0 if series.higher_is_better else -1.0
    spread = ranking.means.standard_error * np.sqrt(counts)
    cut = Cut(sign * ranking.means.mean, counts, spread, _df(ranking), top_n)
    places = zip(ranking.place_best.tolist(), ranking.place_worst.tolist(), strict=True)
    candidates = [i for i, ends in enumerate(places) if top_of(*ends, top_n) is Top.POSSIBLE]
    given = settle(cut, candidates, runs)
    after = Cut(cut.mean, counts + np.array(given), spread, cut.df, top_n)
    return SettleAdvice(
        protocol=protocol,
        version=series.version,
        top_n=top_n,
        possible=len(candidates),
        doubt=cut.doubt(),
        doubt_after=after.doubt(),
        further=tuple(
            SetupRuns(cell.setup, more)
            for cell, more in zip(ranking.cells, given, strict=True)
            if more
        ),
    )


def separate_advice(
    store: Store, protocol: str, setup: str, other: str, power: float
) -> SeparateAdvice:
    """Say how many further runs would tell two set-ups apart, if they differ as much as they seem.

    Raises
    ------
    NotComparedError
        If one of them has no valid run under the protocol.
    NoSpreadError
        If the series has no spread.
    """
    series, ranking = _worked(store, protocol)
    index = {cell.setup: i for i, cell in enumerate(ranking.cells)}
    for name in (setup, other):
        if name not in index:
            raise NotComparedError(f"{name} under {protocol}")
    i, j = index[setup], index[other]
    counts = [cell.n for cell in ranking.cells]
    difference = float(ranking.means.mean[i] - ranking.means.mean[j])
    spreads = [float(ranking.means.standard_error[k]) * counts[k] ** 0.5 for k in (i, j)]
    own_df = counts[i] - 1 + counts[j] - 1
    bout = Bout(
        difference=difference,
        spread=(sum(spread**2 for spread in spreads) / 2) ** 0.5,
        runs=(counts[i], counts[j]),
        other_df=max(_df(ranking) - own_df, 0.0),
        count=len(counts),
        confidence=store.settings.confidence,
    )
    return SeparateAdvice(
        protocol=protocol,
        version=series.version,
        setup=setup,
        other=other,
        difference=difference,
        matters=series.matters,
        unit=series.unit,
        power=power,
        further_each=runs_to_separate(bout, power),
    )


def _worked(store: Store, protocol: str) -> tuple[_Series, Ranking]:
    found = store.records(_Series, read_sql(PACKAGE, "queries/current_series.sql"), [protocol])
    if not found:
        raise NotComparedError(protocol)
    try:
        ranking = ranking_of(store, protocol, found[0].version)
    except KeyError:
        raise NotComparedError(protocol) from None
    if ranking.why is not None:
        raise NoSpreadError(protocol, ranking.why)
    return found[0], ranking


def _df(ranking: Ranking) -> float:
    known = ranking.spread or ranking.dispersion
    return known.df if known else 0.0
