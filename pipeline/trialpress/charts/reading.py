"""What one mark of a chart says in words, for the line that a page shows under the chart.

In:  a standing, an overall value or a run, with figures rounded to published digits.
Out: text.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from trialpress.view.results import Overall, Standing
from trialpress.words import figures, say, say_count


def mark_reading(name: str, words: str) -> str:
    """What is told of something with a name."""
    # For translators: what a mark of a chart stands for, and what is told of it.
    return say("{name}: {told}", name=name, told=words)


def mean_reading(name: str, standing: Standing | Overall, unit: str) -> str:
    """A mean: ``Nimbus: 87.4 % (85.1 to 89.7)``, and what it rests on where that is little."""
    return mark_reading(name, ", ".join((*_mean(standing, unit), *_doubts(standing))))


def ladder_reading(name: str, standing: Standing | Overall, unit: str) -> str:
    """A row of a ladder: its mean, and the places that are not ruled out."""
    parts = (*_mean(standing, unit), _places(standing), *_doubts(standing))
    return mark_reading(name, ", ".join(parts))


def run_reading(run: str, day: str, value: float, unit: str) -> str:
    """A single run."""
    written = figures.with_unit(figures.typed_number(value), unit)
    return say("Run {run}, {day}: {value}", run=run, day=day, value=written)


def day_reading(day: date, value: float, runs: int, unit: str) -> str:
    """The mean of the reference on one day."""
    written = figures.with_unit(figures.typed_number(value), unit)
    return say_count(
        "{day}: {value}, {count} run",
        "{day}: {value}, mean of {count} runs",
        runs,
        day=figures.day(day),
        value=written,
    )


def _mean(standing: Standing | Overall, unit: str) -> tuple[str, ...]:
    mean = figures.with_unit(figures.number(standing.mean, standing.decimals), unit)
    if standing.low is None or standing.high is None:
        return mean, say("interval unknown")
    return (f"{mean} ({figures.interval(standing.low, standing.high, standing.decimals)})",)


def _places(standing: Standing | Overall) -> str:
    if standing.place_best == standing.place_worst:
        return say("place {place}", place=standing.place_best)
    places = figures.places(standing.place_best, standing.place_worst)
    # For translators: {places} is a range with a dash, such as from 4 to 9.
    return say("places {places}", places=places)


def _doubts(standing: Standing | Overall) -> Iterator[str]:
    if standing.provisional:
        yield say("provisional")
    if standing.on_one_run:
        yield say("on one run")
    elif standing.one_sitting:
        yield say("in one sitting")
