"""Control charts, which tell whether the bench is still what it was.

In:  values of one reference in the order they were measured, one a day.
Out: centre, limits, the moving average, and what is out of line.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import numpy as np
from scipy import special

from trialpress.results.spread import Floats

FULL_BASELINE = 20
LEAST_BASELINE = 3
EWMA_WEIGHT = 0.3
SIGMAS = 3.0
LOOKS = 4.0
"""By how much rarer a day of the baseline is marked by chance than a later one, in one look.

It is judged anew with each day that the baseline gains. Found by simulation, so that ten days of a
short chart err no more than those of one whose limits are known exactly; tests find it again.
"""


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
    ``half_width`` is that of the limits around ``centre`` at each value, ``ewma_half_width`` that
    of the limits of the exponentially weighted moving average.
    """

    values: Floats
    baseline: int
    centre: float
    sigma: float
    half_width: Floats
    ewma: Floats
    ewma_half_width: Floats

    def signals(self) -> list[tuple[Signal, ...]]:
        """What is out of line at each value, in their order."""
        by_day: list[list[Signal]] = [[] for _ in self.values]
        distance = (self.values - self.centre) / self.sigma
        for i, (value, average) in enumerate(zip(self.values, self.ewma, strict=True)):
            if abs(value - self.centre) > self.half_width[i]:
                by_day[i].append(Signal.BEYOND_LIMITS)
            if abs(average - self.centre) > self.ewma_half_width[i]:
                by_day[i].append(Signal.MOVING_AVERAGE)
        for signal, window, needed, beyond in (
            (Signal.TWO_OF_THREE, 3, 2, 2.0),
            (Signal.FOUR_OF_FIVE, 5, 4, 1.0),
            (Signal.EIGHT_ON_ONE_SIDE, 8, 8, 0.0),
        ):
            for i in _ends_of_runs(distance, window, needed, beyond):
                by_day[i].append(signal)
        return [tuple(signals) for signals in by_day]


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
    (EWMA). Limits know from how many values they come: ``widths_in_sigmas``.
    """
    if len(values) < LEAST_BASELINE:
        return None
    lines = chart_lines(values)
    sigma = float(lines.sigma)
    if sigma == 0:
        return None
    return ControlChart(
        values=values,
        baseline=lines.baseline,
        centre=float(lines.centre),
        sigma=sigma,
        half_width=lines.widths * sigma,
        ewma=exponential_average(values, lines.centre),
        ewma_half_width=lines.average_widths * sigma,
    )


@dataclass(frozen=True)
class ChartLines:
    """What limits are made of: centre and sigma of each chart, of shape (...).

    ``widths`` and ``average_widths`` are half-widths in sigmas, at each value, of shape (n,).
    """

    baseline: int
    centre: Floats
    sigma: Floats
    widths: Floats
    average_widths: Floats


def chart_lines(values: Floats) -> ChartLines:
    """Centre and spread from the first values of charts of shape (..., n), of shape (...)."""
    count = values.shape[-1]
    baseline = min(count, FULL_BASELINE)
    first = values[..., :baseline]
    return ChartLines(
        baseline=baseline,
        centre=first.mean(axis=-1),
        sigma=first.std(axis=-1, ddof=1),
        widths=widths_in_sigmas(count, baseline, 1.0),
        average_widths=widths_in_sigmas(count, baseline, EWMA_WEIGHT),
    )


@lru_cache(maxsize=256)
def widths_in_sigmas(count: int, baseline: int, weight: float) -> Floats:
    """How many sigmas from the centre the limits of each average lie, shape (count,).

    Parameters
    ----------
    count, baseline : int
        Values on the chart, and how many of them centre and sigma come from, at least three.
    weight : float
        Of the latest value in the average; 1 for the values themselves.

    Notes
    -----
    The distance of an average from the centre is a sum of values with coefficients that are known,
    and so is its standard deviation. Behind the baseline the limits are those of a prediction:
    Student's t with the baseline's degrees of freedom, at the chance of three known sigmas. Within
    it a value is part of its own limits, and its distance has the distribution of Thompson's tau.
    Source: Hahn, J. Am. Stat. Assoc. 64 (1969) 878 (prediction); Thompson, Annals of Mathematical
    Statistics 6 (1935) 214 (tau); Lucas and Saccucci, Technometrics 32 (1990) 1 (averages).
    """
    days = np.arange(count)
    ages = np.subtract.outer(days, days)
    coefficients = np.where(ages >= 0, weight * (1 - weight) ** np.maximum(ages, 0), 0.0)
    coefficients[:, :baseline] -= coefficients.sum(axis=1, keepdims=True) / baseline
    length = np.sqrt(np.sum(coefficients**2, axis=1))
    return np.asarray(length * np.where(days < baseline, _tau(baseline), _student(baseline - 1)))


def _student(df: int, looks: float = 1.0) -> float:
    """What Student's t passes, to either side, as often as known values pass three sigmas."""
    return -float(special.stdtrit(df, special.ndtr(-SIGMAS) / looks))


def _tau(baseline: int) -> float:
    """The same for a distance that is part of the sigma that it is measured in."""
    t = _student(baseline - 2, LOOKS)
    return t * math.sqrt((baseline - 1) / (baseline - 2 + t**2))


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
