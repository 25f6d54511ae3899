"""What the overall is made from, so that anybody can form it again with weights of their own.

In:  the rankings of every series.
Out: the parts of each set-up, and ``OverallPartRow`` records: each set-up's mean in each series
     that an overall can take in.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from trialpress.results.mean_errors import errors_of_means
from trialpress.results.overall import OverallBy, Part
from trialpress.results.publishing import SeriesRules
from trialpress.results.ranking import Ranking
from trialpress.results.records import OverallPartRow
from trialpress.results.rounding import half_even, published

DIGITS = 6
"""Decimals of the parts: enough to form an overall again to its published digits."""

Worked = tuple[SeriesRules, Ranking]


def counted_by(worked: Sequence[Worked], by: OverallBy) -> list[Worked]:
    """The current series with a weight that an overall of this sort can take in."""
    return [part for part in worked if part[0].weight > 0 and _takes(part[0], by)]


def _takes(series: SeriesRules, by: OverallBy) -> bool:
    """A ratio takes percentages of which higher is better; steps, all that says what matters."""
    if by is OverallBy.STEPS:
        return series.is_current and series.matters > 0
    return series.is_current and series.unit == "%" and series.higher_is_better


def parts_of(counted: Sequence[Worked], by: OverallBy) -> Mapping[str, Mapping[str, Part]]:
    """The parts of each set-up by protocol: percentages by ratio, else steps."""
    setups = sorted({cell.setup for _, ranking in counted for cell in ranking.cells})
    parts: dict[str, dict[str, Part]] = {setup: {} for setup in setups}
    for series, ranking in counted:
        means = ranking.means
        errors = errors_of_means(ranking.cells, means.standard_error**2, ranking.day, math.nan)
        for i, cell in enumerate(ranking.cells):
            part = Part(
                series.weight,
                float(means.mean[i]),
                float(means.standard_error[i]),
                float(means.df[i]),
                tuple(errors.shared[i].tolist()),
            )
            if by is OverallBy.STEPS:
                part = part.in_steps(_median(ranking), _step(series))
            parts[cell.setup][series.protocol] = part
    return parts


def _median(ranking: Ranking) -> float:
    return float(np.median(ranking.means.mean))


def _step(series: SeriesRules) -> float:
    """The difference that matters; negative where lower is better."""
    return series.matters if series.higher_is_better else -series.matters


def overall_parts(worked: Sequence[Worked]) -> list[OverallPartRow]:
    """The parts of every current series that some overall can take in, whatever its weight."""
    return [
        OverallPartRow(
            setup=cell.setup,
            protocol=series.protocol,
            version=series.version,
            weight=series.weight,
            in_ratio=_takes(series, OverallBy.RATIO),
            mean=half_even(float(ranking.means.mean[i]), DIGITS),
            standard_error=published(float(ranking.means.standard_error[i]), DIGITS),
            df=published(float(ranking.means.df[i]), DIGITS),
            median=half_even(_median(ranking), DIGITS),
            step=_step(series) if _takes(series, OverallBy.STEPS) else None,
        )
        for series, ranking in worked
        if any(_takes(series, by) for by in OverallBy)
        for i, cell in enumerate(ranking.cells)
    ]
