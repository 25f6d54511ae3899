"""Which further runs are worth making.

In:  a series as it stands.
Out: how many runs would tell two set-ups apart, and which runs would settle who is in the cut.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from trialpress.results.chance import FINE, chance_in_top
from trialpress.results.separation import critical_values
from trialpress.results.spread import Floats, guarded_spread

POWER = 0.8
MOST_RUNS = 60
DRAWS = 8000
SEED = 20310302
CERTAIN = 1e-4
"""A chance this near to 0 or 1 is not changed by a few runs more."""
COARSE = 4
LOOK_AHEAD, LOOK_AHEAD_WEIGHTS = np.polynomial.hermite_e.hermegauss(7)


@dataclass(frozen=True)
class Bout:
    """Two set-ups to be told apart: what they have, and what they are compared among.

    ``difference`` is the true difference supposed, ``spread`` the run-to-run standard deviation.
    ``other_df`` are the degrees of freedom that the other set-ups of the series lend to it,
    ``count`` how many set-ups are compared in all.
    """

    difference: float
    spread: float
    runs: tuple[int, int]
    other_df: float
    count: int
    confidence: float


def separation_power(bout: Bout, *, is_guarded: bool = True) -> float:
    """Chance to tell two set-ups apart under the rule of the standings.

    Parameters
    ----------
    bout : Bout
        With the runs that the set-ups will have.
    is_guarded : bool
        False for the plain pooled method, to compare with tables of the t test.

    Returns
    -------
    float
        Between 0 and 1, from a fixed set of random draws: the same answer every time.
    """
    n = np.array(bout.runs, dtype=np.float64)
    draws = np.random.default_rng(SEED)
    own = draws.chisquare(np.maximum(n - 1, 1e-9), (DRAWS, 2))
    df = bout.other_df + n.sum() - 2
    pooled = (draws.chisquare(max(bout.other_df, 1e-9), DRAWS) + own.sum(axis=1)) / df
    spread = np.sqrt(np.repeat(pooled[:, None], 2, axis=1))
    if is_guarded:
        with np.errstate(invalid="ignore", divide="ignore"):
            own_sd = np.sqrt(np.where(n > 1, own / (n - 1), np.nan))
            spread = guarded_spread(own_sd, spread, bout.count)
    error = bout.spread * np.sqrt((spread**2 / n).sum(axis=1))
    found = draws.normal(bout.difference, bout.spread * math.sqrt((1 / n).sum()), DRAWS)
    critical = float(critical_values(bout.confidence, bout.count, df))
    return float(np.mean(np.abs(found) > critical * error))


def runs_to_separate(bout: Bout, power: float = POWER) -> int | None:
    """Further runs that each of two set-ups needs to be told apart with some power.

    Returns
    -------
    int or None
        0 where they have enough already; None where more than ``MOST_RUNS`` would be needed.
    """
    if bout.difference == 0:
        return None
    for more in range(MOST_RUNS + 1):
        runs = (bout.runs[0] + more, bout.runs[1] + more)
        if separation_power(_with_runs(bout, runs)) >= power:
            return more
    return None


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
    is_open = (chances > CERTAIN) & (chances < 1 - CERTAIN)
    places, given = np.flatnonzero(is_open).tolist(), [0] * len(cut.mean)
    top_n = cut.top_n - int(np.sum(chances >= 1 - CERTAIN))
    if not 0 < top_n < len(places):
        return given
    for _ in range(more):
        runs = cut.runs + np.array(given)
        left = Cut(cut.mean[is_open], runs[is_open], cut.spread[is_open], cut.df, top_n)
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


def _with_runs(bout: Bout, runs: tuple[int, int]) -> Bout:
    return Bout(bout.difference, bout.spread, runs, bout.other_df, bout.count, bout.confidence)
