"""One series as a plan finds it.

In:  the view of a measured bench.
Out: ``OpenSeries``, or why nothing can be planned by it; the records that every plan is made of.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trialpress.errors import UsageError
from trialpress.intake.nearest import meant
from trialpress.results.evenings import run_variance
from trialpress.results.ranking import Ranking
from trialpress.results.working import ranking_of
from trialpress.view import View, terms
from trialpress.view.plans import Tally


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

    @property
    def run_variance(self) -> float:
        """Variance of a run within its sitting; of shares, what the errors of their means tell."""
        return run_variance(self.ranking)

    def rests_on(self, setups: Sequence[int]) -> Iterator[str]:
        """Which of some set-ups are on one run or in one sitting, which their places rest on."""
        ranking = self.ranking
        single = [i for i in setups if ranking.cells[i].n == 1]
        sitting = [i for i in setups if i not in single and ranking.is_in_one_sitting(i)]
        if single:
            yield f"On one run so far: {self._names(single)}."
        if sitting:
            yield (
                f"In one sitting so far: {self._names(sitting)}. What that day did to all runs of "
                "a set-up is in no figure."
            )

    def _names(self, setups: Sequence[int]) -> str:
        return ", ".join(self.tallies[i].setup for i in setups)

    @property
    def df(self) -> float:
        """Degrees of freedom of the spread of the runs."""
        known = self.ranking.spread or self.ranking.dispersion
        return known.df if known is not None else math.nan


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
