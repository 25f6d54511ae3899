"""One figure over several series, in two ways.

In:  a set-up's means in the series that count, with their weights.
Out: its overall value, with the standard error of what is averaged.

*By ratio*: the weighted geometric mean of percentages, which averages logarithms. *In steps*: how
many steps that matter a mean lies above the median of its series, averaged with the weights.
Which of them ranks is the bench's to say. Steps hold for any unit, and a weight means the same in
every series: one step more on one floor makes good one step less on another of the same weight.
They rest on what the tester holds to matter. A ratio needs no such judgement, but a floor on which
all do nearly equally well has hardly a say in it, whatever its weight, and one mean near 0 decides
everything. So a new bench is started with steps; a bench that says nothing keeps the ratio, as what
it has published must not turn by itself.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from scipy import special

from trialpress.results.interaction import Interaction
from trialpress.results.spread import Floats

WIDEST = math.log(1000)
"""An interval that ends further away than a factor of 1,000 says nothing, and is not told."""


class OverallBy(StrEnum):
    """How an overall is formed."""

    RATIO = "ratio"
    STEPS = "steps"


@dataclass(frozen=True)
class Part:
    """A set-up's mean in one series, in percent or in steps, and the weight of that series.

    ``shared`` is what one standard deviation of each effect that the series' set-ups share, such as
    the shift of a day, does to the mean; it is part of ``standard_error``.
    """

    weight: float
    mean: float
    standard_error: float
    df: float
    shared: tuple[float, ...] = ()

    def in_steps(self, median: float, step: float) -> Part:
        """The same as steps above the median; ``step`` is negative where lower is better."""
        return Part(
            self.weight,
            (self.mean - median) / step,
            self.standard_error / abs(step),
            self.df,
            tuple(load / step for load in self.shared),
        )


@dataclass(frozen=True)
class OverallMean:
    """An overall value; ``error`` is the standard error of its logarithm, or of its steps.

    ``shared`` is the part of it that other set-ups share, as in ``Part``. Where a part of a ratio
    is 0 or less the value is 0, and there is no logarithm: ``error`` is NaN.
    """

    by: OverallBy
    value: float
    error: float
    df: float
    shared: Floats

    @property
    def score(self) -> float:
        """What is compared: the logarithm, or the steps."""
        return self.value if self.by is OverallBy.STEPS else math.log(self.value)

    def interval(self, confidence: float) -> tuple[float, float]:
        """Two-sided t interval, on the scale of the score; NaN where it is beyond ``WIDEST``."""
        half = float(special.stdtrit(self.df, (1 + confidence) / 2) * self.error)
        if self.by is OverallBy.STEPS:
            return self.value - half, self.value + half
        factor = math.nan if half > WIDEST else math.exp(half)
        return self.value / factor, self.value * factor

    def on_floors_like_these(
        self, interaction: Interaction, weights: Sequence[float], kind: str
    ) -> OverallMean:
        """The same mean as an estimate for floors of this sort, not for these floors alone.

        Adds how differently set-ups, and kinds of machines, take to floors; what comes from the
        kind is shared with all set-ups of it. Degrees of freedom are never more than before, so
        that the interval is never narrower, nor less than 1, which a small difference of large mean
        squares would give.
        """
        if interaction.total == 0:
            return self
        share = math.fsum(weight**2 for weight in weights) / math.fsum(weights) ** 2
        variance = self.error**2 + share * interaction.total
        below = self.error**4 / self.df + share**2 * interaction.below
        df = max(variance**2 / below, 1.0)
        of_kind = math.sqrt(share * interaction.kind_variance)
        loads = [of_kind * (other == kind) for other in interaction.kinds]
        return replace(
            self,
            error=math.sqrt(variance),
            df=min(self.df, df),
            shared=np.concatenate([self.shared, loads]),
        )


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


def overall_mean(parts: Sequence[Part], by: OverallBy = OverallBy.RATIO) -> OverallMean:
    """The overall value of one set-up from its mean in every series that counts.

    Parameters
    ----------
    parts : sequence of Part
        One a series, weights above zero, all series present; in percent by ratio, else in steps.
    by : OverallBy
        How they are put together.

    Returns
    -------
    OverallMean
        Degrees of freedom by the Welch-Satterthwaite formula.

    Notes
    -----
    Source: first-order propagation, JCGM 100:2008 (GUM), equations 10 and G.2b, of
    sum(w s) / sum(w), s being ln m or the steps.
    """
    is_ratio = by is OverallBy.RATIO
    if is_ratio and any(part.mean <= 0 for part in parts):
        return OverallMean(by, 0.0, math.nan, math.nan, np.zeros(0))
    total = math.fsum(part.weight for part in parts)
    if is_ratio:
        value = weighted_geometric_mean([p.mean for p in parts], [p.weight for p in parts])
    else:
        value = math.fsum(p.weight * p.mean for p in parts) / total
    counts = [p.weight / total / (p.mean if is_ratio else 1.0) for p in parts]
    variances = [(c * p.standard_error) ** 2 for c, p in zip(counts, parts, strict=True)]
    variance = math.fsum(variances)
    below = math.fsum(v**2 / p.df for v, p in zip(variances, parts, strict=True))
    df = variance**2 / below if below > 0 else math.inf
    shared = [c * np.array(p.shared) for c, p in zip(counts, parts, strict=True)]
    return OverallMean(
        by,
        value,
        math.sqrt(variance),
        math.nan if math.isnan(variance) else df,
        np.concatenate(shared),
    )


@dataclass(frozen=True)
class Say:
    """How much one series decides of an overall.

    ``share`` is its part of the variance of the overall over set-ups: the parts of all series add
    up to 1, and one is below 0 where a series works against the order. ``correlation`` is that of
    its scores with the overall. Both are NaN where set-ups do not differ.
    """

    share: float
    correlation: float


def say_of_series(scores: Mapping[str, Floats], weights: Sequence[float]) -> dict[str, Say]:
    """How much each series decides.

    Parameters
    ----------
    scores : mapping of ndarray, shapes (k,)
        Logarithms or steps of k set-ups in each series.
    weights : sequence of float
        Of the series.

    Notes
    -----
    Source: the variance of a sum is the sum of its terms' covariances with it.
    """
    shares = np.array(weights) / math.fsum(weights)
    terms = np.array([score - score.mean() for score in scores.values()]) * shares[:, None]
    whole = terms.sum(axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        held = terms @ whole / (whole @ whole)
        sizes = np.sqrt(np.sum(terms**2, axis=1) * (whole @ whole))
        correlations = terms @ whole / sizes
    pairs = zip(held.tolist(), correlations.tolist(), strict=True)
    return {name: Say(*pair) for name, pair in zip(scores, pairs, strict=True)}
