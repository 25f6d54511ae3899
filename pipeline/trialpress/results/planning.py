"""Which further runs are worth making.

In:  a series as it stands.
Out: which runs would settle who is in the cut, and how many it takes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialpress.results.chance import FINE, chance_in_top
from trialpress.results.spread import Floats

CERTAIN = 1e-4
"""A chance this near to 0 or 1 is not changed by a few runs more."""
OPEN = 0.05
"""A chance of being in the cut beyond this from 0 and 1 leaves a set-up open, in words."""
FUTURES = 100
EACH = (1, 2, 3, 4, 6, 8, 12, 16, 24, 32)
SEED = 20310302
COARSE = 4
LOOK_AHEAD, LOOK_AHEAD_WEIGHTS = np.polynomial.hermite_e.hermegauss(7)


def doubt(chances: Floats) -> float:
    """How unsettled a cut is: expected number of set-ups on the wrong side of a coin so weighted.

    The sum of p(1 - p) over the chances to be in the cut; 0 where all are 0 or 1.
    """
    return math.fsum((chances * (1 - chances)).tolist())


@dataclass(frozen=True)
class Cut:
    """A series and its cut; arrays of shape (k,), larger means being better."""

    mean: Floats
    runs: Floats
    spread: Floats
    df: float
    top_n: int

    def chances(self, scales: int = FINE) -> Floats:
        """The chance of each set-up to be in the cut as the runs stand."""
        errors = self.spread / np.sqrt(self.runs)
        return chance_in_top(self.mean, errors, self.df, self.top_n, scales=scales)

    def doubt(self, scales: int = FINE) -> float:
        """The doubt that is left as the runs stand."""
        return doubt(self.chances(scales))


def settle(cut: Cut, more: int) -> list[int]:
    """Further runs of each set-up that most reduce the doubt about who is in the cut.

    Parameters
    ----------
    cut : Cut
        The series as it stands.
    more : int
        Number of runs to give out.

    Returns
    -------
    list of int, length k
        Runs for each set-up, adding up to ``more``; all 0 where there is no doubt.

    Notes
    -----
    One run after the other goes where it is expected to help most. What a run will show is not
    known: the mean may move by what the run can move it, which is averaged over (preposterior
    analysis; Raiffa and Schlaifer, Applied Statistical Decision Theory, 1961). Set-ups that are
    certain to be in or out are left aside: it is their number alone that matters.
    """
    chances = cut.chances()
    is_left = (chances > CERTAIN) & (chances < 1 - CERTAIN)
    places, given = np.flatnonzero(is_left).tolist(), [0] * len(cut.mean)
    top_n = cut.top_n - int(np.sum(chances >= 1 - CERTAIN))
    if not 0 < top_n < len(places):
        return given
    for _ in range(more):
        runs = cut.runs + np.array(given)
        left = Cut(cut.mean[is_left], runs[is_left], cut.spread[is_left], cut.df, top_n)
        expected = [_expected_doubt(left, i) for i in range(len(places))]
        given[places[expected.index(min(expected))]] += 1
    return given


def _expected_doubt(cut: Cut, i: int) -> float:
    """Doubt after one more run of set-up ``i``, averaged over what it may show."""
    n = cut.runs[i]
    moves = cut.spread[i] * math.sqrt(1 / n - 1 / (n + 1))
    runs = cut.runs.copy()
    runs[i] += 1
    weights = LOOK_AHEAD_WEIGHTS / LOOK_AHEAD_WEIGHTS.sum()
    total = 0.0
    for node, weight in zip(LOOK_AHEAD.tolist(), weights.tolist(), strict=True):
        mean = cut.mean.copy()
        mean[i] += moves * node
        total += weight * Cut(mean, runs, cut.spread, cut.df, cut.top_n).doubt(COARSE)
    return total


def settling_assurance(cut: Cut, given: Sequence[int]) -> float:
    """Chance that a cut is settled once some runs are made, over what they may show.

    Parameters
    ----------
    cut : Cut
        The series as it stands.
    given : sequence of int, length k
        Further runs of each set-up.

    Returns
    -------
    float
        The share of ``FUTURES`` drawn with a fixed seed in which no set-up is left with a chance
        between ``OPEN`` and 1 - ``OPEN``; what the spread may really be is averaged over.
    """
    more = np.asarray(given, dtype=np.float64)
    draws = np.random.default_rng(SEED)
    scale = np.ones(FUTURES)
    if not math.isinf(cut.df):
        scale = np.sqrt(cut.df / draws.chisquare(cut.df, FUTURES))
    moves = cut.spread * np.sqrt(1 / cut.runs - 1 / (cut.runs + more))
    shown = cut.mean + draws.normal(size=(FUTURES, len(more))) * moves * scale[:, None]
    ends = (Cut(mean, cut.runs + more, cut.spread, cut.df, cut.top_n) for mean in shown)
    return float(np.mean([not is_open(end.chances(COARSE)).any() for end in ends]))


def is_open(chances: Floats) -> NDArray[np.bool_]:
    """Which set-ups are neither in the cut nor out of it, as far as chances say."""
    return np.asarray((chances > OPEN) & (chances < 1 - OPEN))


def runs_to_settle(cut: Cut, wanted: float) -> int | None:
    """Runs of each set-up that is open with which a cut is likely settled.

    Returns
    -------
    int or None
        0 where none is open; None where even the last of ``EACH`` does not reach the assurance.
    """
    opened = is_open(cut.chances())
    if not opened.any():
        return 0
    for runs in EACH:
        if settling_assurance(cut, (runs * opened).tolist()) >= wanted:
            return runs
    return None
