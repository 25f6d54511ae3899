"""What one mark of a chart says in words, for the line that a page shows under the chart.

In:  a standing, an overall value or a run, with figures rounded to published digits.
Out: text.
"""

from __future__ import annotations

from trialpress.charts.material import OverallValue, Run, Standing
from trialpress.words import figures


def mean_reading(name: str, standing: Standing | OverallValue, unit: str) -> str:
    """A mean: ``Nimbus: 87.4 % (85.1 to 89.7)``, and what it rests on where that is little."""
    return f"{name}: {_mean(standing, unit)}{_doubts(standing)}"


def ladder_reading(name: str, standing: Standing | OverallValue, unit: str) -> str:
    """A row of a ladder: its mean, and the places that are not ruled out."""
    places = figures.places(standing.place_best, standing.place_worst)
    noun = "place" if standing.place_best == standing.place_worst else "places"
    return f"{name}: {_mean(standing, unit)}, {noun} {places}{_doubts(standing)}"


def run_reading(run: Run, unit: str) -> str:
    """A single run."""
    value = figures.with_unit(figures.typed_number(run.value), unit)
    return f"Run {run.run}, {run.day}: {value}"


def _mean(standing: Standing | OverallValue, unit: str) -> str:
    mean = figures.with_unit(figures.number(standing.mean, standing.decimals), unit)
    if standing.low is None or standing.high is None:
        return f"{mean}, interval unknown"
    low = figures.number(standing.low, standing.decimals)
    high = figures.number(standing.high, standing.decimals)
    return f"{mean} ({low} to {high})"


def _doubts(standing: Standing | OverallValue) -> str:
    provisional = ", provisional" if standing.provisional else ""
    return provisional + (", on one run" if standing.on_one_run else "")
