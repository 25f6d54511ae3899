"""Control charts, which tell whether the bench is still what it was.

In:  values of one reference in the order they were measured, one a day.
Out: centre, limits, the moving average, and what is out of line.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy import special

from trialpress.results.spread import Floats

FULL_BASELINE = 20
LEAST_BASELINE = 3
MEAN_RANGE_OF_TWO = 2 / math.sqrt(math.pi)  # 1.128, the d2 of control chart tables
DF_PER_RANGE = (
    0.605  # of a spread from moving ranges, per range: found again by simulation in tests
)
EWMA_WEIGHT = 0.3
SIGMAS = 3.0


class Signal(StrEnum):
    """What can be out of line; the first two flag numbers, the others are notices."""

    BEYOND_LIMITS = "beyond-limits"
    MOVING_AVERAGE = "moving-average"
    TWO_OF_THREE = "two-of-three-beyond-2-sigma"
    FOUR_OF_FIVE = "four-of-five-beyond-1-sigma"
    EIGHT_ON_ONE_SIDE = "eight-on-one-side"


FLAGGING = (Signal.BEYOND_LIMITS, Signal.MOVING_AVERAGE)


@dataclass(frozen=True)
class ControlChart:
    """An individuals chart with a moving average; arrays of shape (n,).

    ``baseline`` is the number of values that centre and spread come from, the first ones.
    ``half_width`` is that of the limits around ``centre``, ``ewma_half_width`` that of the limits
    of the exponentially weighted moving average.
    """

    values: Floats
    baseline: int
    centre: float
    sigma: float
    half_width: float
    ewma: Floats
    ewma_half_width: float

    def signals(self) -> list[tuple[Signal, ...]]:
        """What is out of line at each value, in their order."""
        told: list[list[Signal]] = [[] for _ in self.values]
        distance = (self.values - self.centre) / self.sigma
        for i, (value, average) in enumerate(zip(self.values, self.ewma, strict=True)):
            if abs(value - self.centre) > self.half_width:
                told[i].append(Signal.BEYOND_LIMITS)
            if abs(average - self.centre) > self.ewma_half_width:
                told[i].append(Signal.MOVING_AVERAGE)
        for signal, window, needed, beyond in (
            (Signal.TWO_OF_THREE, 3, 2, 2.0),
            (Signal.FOUR_OF_FIVE, 5, 4, 1.0),
            (Signal.EIGHT_ON_ONE_SIDE, 8, 8, 0.0),
        ):
            for i in _ends_of_runs(distance, window, needed, beyond):
                told[i].append(signal)
        return [tuple(signals) for signals in told]


def control_chart(values: Floats) -> ControlChart | None:
    """Individuals chart and moving average of a reference.

    Parameters
    ----------
    values : ndarray, shape (n,)
        In the order they were measured.

    Returns
    -------
    ControlChart or None
        None where there are fewer than three values, or the first ones do not differ at all.

    Notes
    -----
    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 (individuals) and 6.3.2.4
    (EWMA). Below 20 runs of baseline the limits are those of a prediction from so few: t in place
    of 3, and the centre's own uncertainty; a chart of 10 runs with plain limits cries wolf in half
    of all benches.
    """
    if len(values) < LEAST_BASELINE:
        return None
    lines = chart_lines(values)
    sigma = float(lines.sigma)
    if sigma == 0:
        return None
    half_width = lines.sigmas * sigma
    return ControlChart(
        values=values,
        baseline=lines.baseline,
        centre=float(lines.centre),
        sigma=sigma,
        half_width=half_width,
        ewma=exponential_average(values, lines.centre),
        ewma_half_width=float(average_half_width(half_width)),
    )


@dataclass(frozen=True)
class ChartLines:
    """What limits are made of: the centre and sigma of each chart, and how many sigmas away."""

    baseline: int
    centre: Floats
    sigma: Floats
    sigmas: float


def chart_lines(values: Floats) -> ChartLines:
    """Centre and spread from the first values of charts of shape (..., n), of shape (...)."""
    baseline = min(values.shape[-1], FULL_BASELINE)
    first = values[..., :baseline]
    return ChartLines(
        baseline=baseline,
        centre=first.mean(axis=-1),
        sigma=mean_moving_range(first) / MEAN_RANGE_OF_TWO,
        sigmas=limit_in_sigmas(baseline),
    )


def mean_moving_range(values: Floats) -> Floats:
    """Mean absolute difference of neighbours, of shape (...) for values of shape (..., n)."""
    return np.asarray(np.abs(np.diff(values, axis=-1)).mean(axis=-1))


def average_half_width(half_width: Floats | float, weight: float = EWMA_WEIGHT) -> Floats:
    """The limits of the moving average that go with those of the values themselves."""
    return np.asarray(half_width * math.sqrt(weight / (2 - weight)))


def limit_in_sigmas(baseline: int) -> float:
    """How many sigmas away the limits lie: 3 from a full baseline, more from a shorter one."""
    if baseline >= FULL_BASELINE:
        return SIGMAS
    chance = float(special.ndtr(SIGMAS))
    df = DF_PER_RANGE * (baseline - 1)
    return float(special.stdtrit(df, chance)) * math.sqrt(1 + 1 / baseline)


def exponential_average(values: Floats, start: Floats | float) -> Floats:
    """Exponentially weighted moving averages of shape (..., n), each from its ``start``."""
    of_each = np.ascontiguousarray(np.moveaxis(values, -1, 0))
    averages, last = np.empty_like(of_each), start
    for i, value in enumerate(of_each):
        last = EWMA_WEIGHT * value + (1 - EWMA_WEIGHT) * last
        averages[i] = last
    return np.moveaxis(averages, 0, -1)


def _ends_of_runs(distance: Floats, window: int, needed: int, beyond: float) -> list[int]:
    """Where at least ``needed`` of ``window`` values lie beyond, all on the side of the last.

    Source: Western Electric rules, NIST/SEMATECH e-Handbook 6.3.2.
    """
    ends = []
    for i in range(window - 1, len(distance)):
        side = 1.0 if distance[i] > 0 else -1.0
        seen = distance[i - window + 1 : i + 1] * side > beyond
        if seen[-1] and int(seen.sum()) >= needed:
            ends.append(i)
    return ends
