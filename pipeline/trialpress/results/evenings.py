"""What it is worth to spread the runs of a set-up over evenings.

In:  the run-to-run spread of a series, and what a sitting adds.
Out: numbers of runs: of one evening that tell as much as some over several, and those with which
     any two set-ups would be called level or told apart.
"""

from __future__ import annotations

import math

import numpy as np

from trialpress.results.cells import all_days, all_setups, run_counts
from trialpress.results.days import mean_parts
from trialpress.results.ranking import Ranking
from trialpress.results.separation import critical_values

MOST_EACH = 400


def as_many_in_one_evening(evenings: int, run_variance: float, sitting_variance: float) -> float:
    """How many runs of one evening tell as much as one run on each of several evenings.

    Parameters
    ----------
    evenings : int
        Evenings with one run of the set-up each.
    run_variance, sitting_variance : float
        Of a single run within a sitting, and of what its sitting adds, in the square of the unit.

    Returns
    -------
    float
        Runs, rarely whole; infinity where no number of runs of one evening does.

    Notes
    -----
    Of set-ups that share their days: the mean of e runs on e evenings has the variance
    (s + r) / e, that of n runs of one evening s + r / n.
    """
    left = (sitting_variance + run_variance) / evenings - sitting_variance
    return run_variance / left if left > 0 else math.inf


def runs_to_decide(
    variance: float, df: float, matters: float, count: int, confidence: float
) -> int | None:
    """Runs of each set-up with which any two are called level, or one of them better.

    Parameters
    ----------
    variance : float
        Of one run on an evening of its own, in the square of the unit.
    df : float
        Degrees of freedom of the spread so far; those that further runs bring are left aside.
    matters : float
        The smallest difference worth telling, in the unit.
    count : int
        Set-ups compared.
    confidence : float
        Of the intervals, as a share of one.

    Returns
    -------
    int or None
        None where even ``MOST_EACH`` do not.

    Notes
    -----
    An interval of half-width h that holds 0 ends within 2 h: where 2 h is what matters or less, it
    either leaves 0 out or lies within what matters, whatever the difference is.
    """
    if not variance > 0:
        return None
    critical = float(critical_values(confidence, count, np.asarray(df)))
    half_width = critical * math.sqrt(2 * variance)
    runs = math.ceil((2 * half_width / matters) ** 2)
    return runs if runs <= MOST_EACH else None


def run_variance(ranking: Ranking) -> float:
    """Variance of a run within its sitting; of shares, what the errors of their means tell."""
    if ranking.spread is not None:
        return float(np.mean(ranking.spread.of_cells(len(ranking.cells)) ** 2))
    cells = ranking.cells
    parts = mean_parts(all_setups(cells), all_days(cells)).variance(ranking.day)
    of_runs = ranking.means.standard_error**2 - parts
    return math.fsum((of_runs * run_counts(cells)).tolist()) / len(cells)


def runs_to_decide_all(ranking: Ranking, matters: float, confidence: float) -> int | None:
    """Runs of each set-up of a series, one an evening where evenings count, that decide any pair.

    Returns
    -------
    int or None
        None where it would take too many, or nothing is known of the spread.
    """
    known = ranking.spread or ranking.dispersion
    if known is None:
        return None
    variance = run_variance(ranking) + ranking.day.sitting_variance
    return runs_to_decide(variance, known.df, matters, len(ranking.cells), confidence)
