"""The order of an evening's runs.

In:  how many runs each set-up wants, and a seed.
Out: runs floor by floor, shuffled within a floor's protocol, the reference first and last.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from trialpress.desk.missing import Tally
from trialpress.desk.suggest import Wanted


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
    blocks = sorted(wanted, key=lambda one: _block(one.tally))
    generator = random.Random(seed)  # noqa: S311  an order of runs, no secret
    return tuple(
        tally
        for block, members in groupby(blocks, key=lambda one: _block(one.tally))
        for tally in _in_block(
            list(members), [one for one in references if _block(one) == block], generator
        )
    )


def _block(tally: Tally) -> tuple[str, str]:
    return (tally.floor, tally.protocol)


def _in_block(
    wanted: Sequence[Wanted], references: Sequence[Tally], generator: random.Random
) -> Iterator[Tally]:
    """A block between two runs of the reference, which count towards those it wants itself."""
    reference = max(references, key=lambda one: (one.runs, one.setup), default=None)
    runs = [
        one.tally
        for one in wanted
        for _ in range(one.runs - 2 if one.tally == reference else one.runs)
    ]
    runs.sort(key=lambda tally: tally.setup)
    generator.shuffle(runs)
    ends = [] if reference is None else [reference]
    yield from (*ends, *runs, *ends)
