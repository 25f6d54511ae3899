"""How often a control chart raises an alarm: where nothing has changed, and after a step.

In:  how many days its limits come from, and the size of a step.
Out: chances of an alarm within some days, and average run lengths where limits are known exactly.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import special

from trialpress.results.control_chart import (
    EWMA_WEIGHT,
    FULL_BASELINE,
    SIGMAS,
    chart_lines,
    exponential_average,
)
from trialpress.results.spread import Floats

DAYS_AHEAD = 10
DRAWS = 4000
SEED = 20310302
STATES = 301


@lru_cache(maxsize=256)
def chance_of_alarm(baseline: int, step: float, days: int = DAYS_AHEAD) -> float:
    """Chance that a chart marks at least one of the next days.

    Parameters
    ----------
    baseline : int
        Days on the chart, at least three; from ``FULL_BASELINE`` on the limits stay as they are,
        before that each new day moves them.
    step : float
        By how much the level has changed since, in standard deviations of a day's mean; with 0 an
        alarm is a false one.
    days : int
        How many days to come are looked at, each on the chart as it stands on that day.

    Returns
    -------
    float
        From ``DRAWS`` charts of normal values drawn with a fixed seed: right to about a point.
    """
    draws = np.random.default_rng(SEED).normal(size=(DRAWS, baseline + days))
    draws[:, baseline:] += step
    is_marked = np.zeros(DRAWS, dtype=bool)
    for seen in _looks(baseline, days):
        is_marked |= out_of_line(draws[:, :seen])[:, baseline:].any(axis=1)
    return float(is_marked.mean())


def _looks(baseline: int, days: int) -> list[int]:
    """Lengths of the chart at which something new may be marked; one where the limits stay."""
    end = baseline + days
    return [*range(baseline + 1, min(FULL_BASELINE, end)), end]


def out_of_line(values: Floats) -> NDArray[np.bool_]:
    """What a chart marks: values beyond the limits or averages beyond theirs, shape (..., n)."""
    lines = chart_lines(values)
    centre, sigma = lines.centre[..., None], lines.sigma[..., None]
    average = exponential_average(values, lines.centre)
    beyond = np.abs(values - centre) > lines.widths * sigma
    return np.asarray(beyond | (np.abs(average - centre) > lines.average_widths * sigma))


def average_run_length(
    step: float,
    weight: float = EWMA_WEIGHT,
    average_sigmas: float = SIGMAS,
    sigmas: float = SIGMAS,
) -> float:
    """Days until a chart whose limits are known exactly marks one, on average.

    Parameters
    ----------
    step : float
        By how much the level is off, in standard deviations.
    weight : float
        Of the latest value in the moving average.
    average_sigmas, sigmas : float
        Limits of the average, in its own standard deviations, and of a single value; infinity
        where one is not looked at.

    Notes
    -----
    A Markov chain over the value of the average. Source: Brook and Evans, Biometrika 59 (1972)
    539; Lucas and Saccucci, Technometrics 32 (1990) 1.
    """
    if math.isinf(average_sigmas):
        return float(1 / (special.ndtr(step - sigmas) + special.ndtr(-step - sigmas)))
    limit = average_sigmas * math.sqrt(weight / (2 - weight))
    edges = np.linspace(-limit, limit, STATES + 1)
    middles = (edges[1:] + edges[:-1]) / 2
    needed = (edges[None, :] - (1 - weight) * middles[:, None]) / weight
    below = special.ndtr(np.clip(needed, -sigmas, sigmas) - step)
    stays = below[:, 1:] - below[:, :-1]
    lengths = np.linalg.solve(np.eye(STATES) - stays, np.ones(STATES))
    return float(lengths[STATES // 2])
