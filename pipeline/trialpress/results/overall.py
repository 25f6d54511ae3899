"""One figure over several series: the weighted geometric mean.

In:  a set-up's means in the series that count, with their weights.
Out: its overall value, with the standard error of its logarithm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy import special

from trialpress.results.interaction import Interaction

WIDEST = math.log(1000)
"""An interval that ends further away than a factor of 1,000 says nothing, and is not told."""


@dataclass(frozen=True)
class Part:
    """A set-up's mean in one series, in percent, and the weight of that series."""

    weight: float
    mean: float
    standard_error: float
    df: float


@dataclass(frozen=True)
class OverallMean:
    """A weighted geometric mean; ``log_se`` is the standard error of its natural logarithm.

    Where a part is 0 or less the value is 0, and there is no logarithm: ``log_se`` is NaN.
    """

    value: float
    log_se: float
    df: float

    def interval(self, confidence: float) -> tuple[float, float]:
        """Two-sided t interval, worked out on the logarithm; NaN where it is beyond ``WIDEST``."""
        half = special.stdtrit(self.df, (1 + confidence) / 2) * self.log_se
        factor = math.nan if half > WIDEST else math.exp(half)
        return self.value / factor, self.value * factor

    def on_floors_like_these(
        self, interaction: Interaction, weights: Sequence[float]
    ) -> OverallMean:
        """The same mean as an estimate for floors of this kind, not for these floors alone.

        Adds the set-up x floor variance. Degrees of freedom are never more than before, so that
        the interval is never narrower, nor less than 1, which a small difference of large mean
        squares would give.
        """
        if interaction.variance == 0:
            return self
        total = math.fsum(weights)
        share = math.fsum((weight / total) ** 2 for weight in weights)
        variance = self.log_se**2 + share * interaction.variance
        below = self.log_se**4 / self.df + (share * interaction.mean_square) ** 2 / interaction.df
        df = max(variance**2 / below, 1.0)
        return OverallMean(self.value, math.sqrt(variance), min(self.df, df))


def weighted_geometric_mean(values: Sequence[float], weights: Sequence[float]) -> float:
    """The weighted geometric mean of values above zero: 40, 60 and 90 give 60.

    Raises
    ------
    ValueError
        If a value is not above zero, or the weights do not add up to more than zero.
    """
    total = math.fsum(weights)
    if total <= 0 or min(values) <= 0:
        message = "a geometric mean needs values and a sum of weights above zero"
        raise ValueError(message)
    logs = math.fsum(w * math.log(v) for v, w in zip(values, weights, strict=True))
    return math.exp(logs / total)


def overall_mean(parts: Sequence[Part]) -> OverallMean:
    """The overall value of one set-up from its mean in every series that counts.

    Parameters
    ----------
    parts : sequence of Part
        One a series, weights above zero, all series present.

    Returns
    -------
    OverallMean
        Degrees of freedom by the Welch-Satterthwaite formula.

    Notes
    -----
    Source: first-order propagation, JCGM 100:2008 (GUM), equations 10 and G.2b, of
    ln g = sum(w ln m) / sum(w).
    """
    if any(part.mean <= 0 for part in parts):
        return OverallMean(0.0, math.nan, math.nan)
    total = math.fsum(part.weight for part in parts)
    value = weighted_geometric_mean([p.mean for p in parts], [p.weight for p in parts])
    variances = [(p.weight / total * p.standard_error / p.mean) ** 2 for p in parts]
    variance = math.fsum(variances)
    below = math.fsum(v**2 / p.df for v, p in zip(variances, parts, strict=True))
    df = variance**2 / below if below > 0 else math.inf
    return OverallMean(value, math.sqrt(variance), math.nan if math.isnan(variance) else df)
