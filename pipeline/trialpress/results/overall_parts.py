"""What the overall is made from, so that anybody can form it again with weights of their own.

In:  the rankings of every series.
Out: ``OverallPartRow`` records: each set-up's mean in each series that an overall can take in.
"""

from __future__ import annotations

from collections.abc import Sequence

from trialpress.results.publishing import SeriesRules
from trialpress.results.ranking import Ranking
from trialpress.results.records import OverallPartRow
from trialpress.results.rounding import published

DIGITS = 6
"""Decimals of the parts: enough to form an overall again to its published digits."""


def overall_parts(worked: Sequence[tuple[SeriesRules, Ranking]]) -> list[OverallPartRow]:
    """The parts of every current series in percent where higher is better, whatever its weight."""
    return [
        OverallPartRow(
            setup=cell.setup,
            protocol=series.protocol,
            version=series.version,
            weight=series.weight,
            mean=round(float(ranking.means.mean[i]), DIGITS),
            standard_error=published(float(ranking.means.standard_error[i]), DIGITS),
            df=published(float(ranking.means.df[i]), DIGITS),
        )
        for series, ranking in worked
        if series.is_current and series.unit == "%" and series.higher_is_better
        for i, cell in enumerate(ranking.cells)
    ]
