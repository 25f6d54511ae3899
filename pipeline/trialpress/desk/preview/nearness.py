"""How far a run lies from the other runs of its set-up.

In:  values in the protocol's unit.
Out: the distance, also in spreads, and whether it is further than chance allows.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from trialpress.results.spread import Spread, TooFewRunsError, mean_of_runs, pooled_spread


@dataclass(frozen=True)
class Nearness:
    """``in_spreads`` and ``limit`` are None where no spread can be had; ``is_far`` is false."""

    runs: int
    mean: float
    difference: float
    spread: float | None
    in_spreads: float | None
    limit: float | None
    is_far: bool


def nearness(
    value: float,
    others: Sequence[float],
    cells: Sequence[Sequence[float]],
    confidence: float,
) -> Nearness | None:
    """Compare one run with the others of its set-up; None where there are none.

    Parameters
    ----------
    value : float
        The run.
    others : sequence of float, shape (n,)
        The other runs of the set-up in this series.
    cells : sequence of sequences of float
        All other runs of the series, by set-up: what the spread is pooled from.
    confidence : float
        Share of runs that lie within the limit by chance.

    Notes
    -----
    Source: prediction interval for one further observation, mean of n with a pooled standard
    deviation s on v degrees of freedom: t(v) s sqrt(1 + 1/n). Hahn and Meeker, Statistical
    Intervals, section 4.6.
    """
    if not others:
        return None
    mean = mean_of_runs(np.array(others))
    difference = value - mean
    spread = _spread(cells)
    if spread is None or spread.sd == 0:
        return Nearness(len(others), mean, difference, None, None, None, is_far=False)
    reach = float(special.stdtrit(spread.df, (1 + confidence) / 2))
    limit = reach * spread.sd * math.sqrt(1 + 1 / len(others))
    return Nearness(
        runs=len(others),
        mean=mean,
        difference=difference,
        spread=spread.sd,
        in_spreads=abs(difference) / spread.sd,
        limit=limit,
        is_far=abs(difference) > limit,
    )


def _spread(cells: Sequence[Sequence[float]]) -> Spread | None:
    try:
        return pooled_spread([np.array(runs) for runs in cells])
    except TooFewRunsError:
        return None
