"""An evening at the bench: in what order its runs are made, and how long they take.

In:  how many runs each set-up wants, and a seed; the times that past runs were noted at.
Out: runs floor by floor, shuffled within a floor's protocol, the reference first and last; minutes,
     and for how many of the runs they stand. A protocol whose runs were never timed has none:
     nothing is guessed.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from trialpress.desk.plan.series import Wanted
from trialpress.view.plans import Pace, Tally
from trialpress.words import figures

_STEP = 5
_HOUR = 60


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


def in_bench_order(
    wanted: Iterable[Wanted], tallies: Iterable[Tally], seed: int
) -> tuple[Tally, ...]:
    """One entry a run, in the order to make them; the same for the same seed.

    Parameters
    ----------
    wanted : iterable of Wanted
        Runs of each set-up; those of one protocol are one block.
    tallies : iterable of Tally
        All set-ups in all series: where the reference set-ups are found.
    seed : int
        Of the shuffling.
    """
    references = [tally for tally in tallies if tally.is_reference]
    blocks = sorted(wanted, key=lambda want: _block(want.tally))
    generator = random.Random(seed)  # noqa: S311  an order of runs, no secret
    return tuple(
        tally
        for block, members in groupby(blocks, key=lambda want: _block(want.tally))
        for tally in _in_block(
            list(members), [tally for tally in references if _block(tally) == block], generator
        )
    )


def _block(tally: Tally) -> tuple[str, str]:
    return (tally.floor or "", tally.protocol)


def _in_block(
    wanted: Sequence[Wanted], references: Sequence[Tally], generator: random.Random
) -> Iterator[Tally]:
    """A block between two runs of the reference, which count towards those it wants itself."""
    reference = max(references, key=lambda tally: (tally.runs, tally.setup), default=None)
    runs = [
        want.tally
        for want in wanted
        for _ in range(want.runs - 2 if want.tally == reference else want.runs)
    ]
    runs.sort(key=lambda tally: tally.setup)
    generator.shuffle(runs)
    ends = [] if reference is None else [reference]
    yield from (*ends, *runs, *ends)


def duration_of(wanted: Iterable[Wanted], paces: Mapping[str, Pace]) -> Duration:
    """How long the wanted runs take together."""
    wanted = list(wanted)
    timed = [want for want in wanted if want.tally.protocol in paces]
    return Duration(
        runs=sum(want.runs for want in wanted),
        timed=sum(want.runs for want in timed),
        minutes=sum(want.runs * paces[want.tally.protocol].minutes for want in timed),
    )


def _in_words(minutes: float) -> str:
    """To five minutes, as nobody knows it better."""
    whole = max(round(minutes / _STEP) * _STEP, _STEP)
    hours, rest = divmod(whole, _HOUR)
    parts = [f"{hours} h"] if hours else []
    return " ".join([*parts, f"{rest} min"] if rest else parts)
