"""How long runs are going to take.

In:  the times that past runs were noted at, and how many runs there are to make.
Out: minutes, and for how many of the runs they stand. A protocol whose runs were never timed has
     none: nothing is guessed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from trialpress.desk.suggest import Wanted
from trialpress.store import Store, read_sql
from trialpress.words import figures

PACKAGE = "trialpress.desk"
_STEP = 5
_HOUR = 60


@dataclass(frozen=True)
class Pace:
    """Minutes from one run to the next under one protocol, the median of ``gaps``."""

    protocol: str
    minutes: float
    gaps: int


@dataclass(frozen=True)
class Duration:
    """``minutes`` are those of the ``timed`` of all ``runs``."""

    runs: int
    timed: int
    minutes: float

    @property
    def text(self) -> str:
        """One sentence for people."""
        runs = figures.count(self.runs, "run", "runs")
        if not self.timed:
            return f"{runs}; how long they take is not known, as none of the kind was timed."
        long = _in_words(self.minutes)
        if self.timed == self.runs:
            return f"{runs}, about {long} at the pace of past runs."
        rest = self.runs - self.timed
        return (
            f"{runs}: about {long} at the pace of past runs for {self.timed} of them; "
            f"the other {rest} are under protocols whose runs were never timed."
        )


def read_paces(store: Store) -> dict[str, Pace]:
    """The pace of every protocol whose runs were timed."""
    rows = store.records(Pace, read_sql(PACKAGE, "queries/paces.sql"))
    return {row.protocol: row for row in rows}


def duration_of(wanted: Iterable[Wanted], paces: Mapping[str, Pace]) -> Duration:
    """How long the wanted runs take together."""
    wanted = list(wanted)
    timed = [one for one in wanted if one.tally.protocol in paces]
    return Duration(
        runs=sum(one.runs for one in wanted),
        timed=sum(one.runs for one in timed),
        minutes=sum(one.runs * paces[one.tally.protocol].minutes for one in timed),
    )


def _in_words(minutes: float) -> str:
    """To five minutes, as nobody knows it better."""
    whole = max(round(minutes / _STEP) * _STEP, _STEP)
    hours, rest = divmod(whole, _HOUR)
    parts = [f"{hours} h"] if hours else []
    return " ".join([*parts, f"{rest} min"] if rest else parts)
