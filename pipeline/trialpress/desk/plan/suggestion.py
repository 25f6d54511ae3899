"""Which runs would settle a cut, or tell two set-ups apart, with the reasons.

In:  a series as it stands.
Out: runs for each set-up, and the figures that speak for them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialpress.errors import UsageError
from trialpress.intake.nearest import meant
from trialpress.results.planning import (
    MOST_RUNS,
    POWER,
    Bout,
    Cut,
    runs_to_separate,
    separation_power,
    settle,
)
from trialpress.results.ranking import Ranking
from trialpress.results.spread import Floats
from trialpress.results.working import ranking_of
from trialpress.view import View, terms
from trialpress.view.plans import Tally
from trialpress.words import figures

OPEN = 0.05
"""A chance of being in the cut beyond this from 0 and 1 leaves a set-up open, in words."""


class NoSuchSeriesError(UsageError):
    """There is no series of that name that is still run."""

    def __init__(self, protocol: str, known: Sequence[str]) -> None:
        listed = ", ".join(sorted(set(known))) or "none yet"
        super().__init__(
            f"No protocol {protocol} is being run. {meant(protocol, known)}"
            f"Those that are: {listed}."
        )


class NothingToGoOnError(UsageError):
    """The runs so far say too little to plan by."""

    def __init__(self, protocol: str, why: str) -> None:
        super().__init__(
            f"{protocol} cannot be planned by its results yet: {why}. "
            "Make the missing runs first: trialpress plan"
        )


@dataclass(frozen=True)
class Wanted:
    """Runs wanted of one set-up."""

    tally: Tally
    runs: int


@dataclass(frozen=True)
class Suggestion:
    """Runs to make, the reasons as sentences, and the note that planned rows carry."""

    wanted: tuple[Wanted, ...]
    reasons: tuple[str, ...]
    note: str


@dataclass(frozen=True)
class OpenSeries:
    """One series that is still run: its set-ups and its ranking, in one order."""

    tallies: tuple[Tally, ...]
    ranking: Ranking
    sign: float


def read_series(view: View, protocol: str) -> OpenSeries:
    """The series of a protocol.

    Raises
    ------
    NoSuchSeriesError
        If it is not run any more, or never was.
    NothingToGoOnError
        If nothing is known of its spread.
    """
    own = {tally.setup: tally for tally in view.tallies if tally.protocol == protocol}
    if not own:
        raise NoSuchSeriesError(protocol, [tally.protocol for tally in view.tallies])
    version = next(iter(own.values())).version
    try:
        ranking = ranking_of(view.store, protocol, version)
    except KeyError:
        raise NothingToGoOnError(protocol, "it has no valid run") from None
    if ranking.why is not None:
        raise NothingToGoOnError(protocol, terms.WHY[ranking.why])
    better = view.series[protocol, version].better
    order = tuple(own[cell.setup] for cell in ranking.cells)
    return OpenSeries(order, ranking, 1.0 if better == "higher" else -1.0)


def suggest_settling(series: OpenSeries, top_n: int, runs: int) -> Suggestion:
    """Give out runs so that least doubt is left about who is in the first ``top_n`` places."""
    means, known = series.ranking.means, series.ranking.spread or series.ranking.dispersion
    n = np.array([tally.runs for tally in series.tallies], dtype=np.float64)
    spread = means.standard_error * np.sqrt(n)
    df = known.df if known is not None else math.nan
    cut = Cut(series.sign * means.mean, n, spread, df, top_n)
    given = settle(cut, runs)
    after = Cut(cut.mean, n + np.array(given), spread, df, top_n)
    title = series.tallies[0].title
    places = "the first place" if top_n == 1 else f"the first {top_n} places"
    reason = f"{title}: no few runs more would change who is in {places}."
    if top_n >= len(n):
        reason = f"{title}: all {len(n)} set-ups are in {places}, whatever they show."
    elif sum(given):
        reason = _settled(f"{title}: who is in {places}", cut, after, sum(given))
    wanted = [
        Wanted(tally, more) for tally, more in zip(series.tallies, given, strict=True) if more
    ]
    return Suggestion(tuple(wanted), (reason,), f"plan: settle top {top_n}")


def _settled(what: str, cut: Cut, after: Cut, runs: int) -> str:
    """How open a cut is, before and after, in set-ups that may still be in or out."""
    now, then = (int(np.sum(_is_open(moment.chances()))) for moment in (cut, after))
    if not now:
        return f"{what} is hardly open: each set-up is in or out with a chance above 95 %."
    closed = f"that leaves {then}" if then else "that leaves none"
    if then >= now:
        closed = "even that leaves it as open, so it takes more evenings than one"
    more = figures.count(runs, "more run", "more runs")
    return (
        f"{what} is open between {now} set-ups, each with a chance between 5 and 95 %. The {more} "
        f"below help most; if the means stay where they are, {closed}."
    )


def _is_open(chances: Floats) -> NDArray[np.bool_]:
    return np.asarray((chances > OPEN) & (chances < 1 - OPEN))


def suggest_separating(series: OpenSeries, setup: str, rival: str, confidence: float) -> Suggestion:
    """Runs that each of two set-ups needs to be told apart, under the rule of the standings."""
    i, j = _index(series, setup), _index(series, rival)
    bout = _bout(series, i, j, confidence)
    more = runs_to_separate(bout)
    first, unit = series.tallies[i], series.tallies[i].unit
    found = (
        f"{first.title}: {setup} and {rival} differ by {abs(bout.difference):.3g} {unit} in the "
        f"runs so far. If that is how they really differ, {bout.runs[0]} and {bout.runs[1]} runs "
        f"tell them apart {_times(separation_power(bout))}."
    )
    reasons = [found]
    if abs(bout.difference) < first.matters:
        reasons.append(f"That is smaller than what matters ({first.matters:g} {unit}).")
    if more is None:
        reasons.append(f"More than {MOST_RUNS} further runs of each would be needed: not worth it.")
    else:
        further = figures.count(more, "further run", "further runs")
        reasons.append(f"With {further} of each it is {_times(POWER)} or more.")
    if series.ranking.spread is None:
        reasons.append("For counts and grades this is a rough guide.")
    wanted = [Wanted(series.tallies[k], more) for k in (i, j)] if more else []
    return Suggestion(tuple(wanted), tuple(reasons), f"plan: separate {setup} {rival}")


def _times(chance: float) -> str:
    tenths = round(10 * chance)
    return f"{tenths} times in 10" if tenths else "hardly ever"


def _index(series: OpenSeries, setup: str) -> int:
    known = [tally.setup for tally in series.tallies]
    if setup not in known:
        protocol = series.tallies[0].protocol
        reason = f"{setup} has no valid run in it. {meant(setup, known)}".rstrip(". ")
        raise NothingToGoOnError(protocol, reason)
    return known.index(setup)


def _bout(series: OpenSeries, i: int, j: int, confidence: float) -> Bout:
    ranking = series.ranking
    runs = (series.tallies[i].runs, series.tallies[j].runs)
    known = ranking.spread or ranking.dispersion
    df = known.df if known is not None else math.nan
    own = math.fsum(runs) - len(runs)
    return Bout(
        difference=float(ranking.means.mean[i] - ranking.means.mean[j]),
        spread=_spread(ranking, (i, j), runs),
        runs=runs,
        other_df=max(df - own, 0.0),
        count=len(series.tallies),
        confidence=confidence,
    )


def _spread(ranking: Ranking, pair: tuple[int, int], runs: tuple[int, int]) -> float:
    """The run-to-run spread of two set-ups; for shares the mean of what each one's error tells."""
    if ranking.spread is not None:
        return ranking.spread.sd
    errors = ranking.means.standard_error
    return math.sqrt(
        math.fsum(float(errors[k]) ** 2 * n for k, n in zip(pair, runs, strict=True)) / 2
    )
