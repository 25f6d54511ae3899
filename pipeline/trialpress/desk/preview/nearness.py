"""How far a run lies from the other runs of its set-up.

In:  values in the protocol's unit.
Out: the distance, also in spreads. Whether a run is too far off is a finding of intake.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trialpress.results.spread import Spread, TooFewRunsError, mean_of_runs, pooled_spread


@dataclass(frozen=True)
class Nearness:
    """``spread`` and ``in_spreads`` are None where no spread can be had."""

    runs: int
    mean: float
    difference: float
    spread: float | None
    in_spreads: float | None


def nearness(
    value: float,
    others: Sequence[float],
    cells: Sequence[Sequence[float]],
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
    """
    if not others:
        return None
    mean = mean_of_runs(np.array(others))
    difference = value - mean
    spread = _spread(cells)
    if spread is None or spread.sd == 0:
        return Nearness(len(others), mean, difference, None, None)
    return Nearness(len(others), mean, difference, spread.sd, abs(difference) / spread.sd)


def _spread(cells: Sequence[Sequence[float]]) -> Spread | None:
    try:
        return pooled_spread([np.array(runs) for runs in cells])
    except TooFewRunsError:
        return None
