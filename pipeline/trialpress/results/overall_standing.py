"""Overall places: complete set-ups ranked, the others listed with what is missing.

In:  the rankings of every series that counts, and the set-ups' names.
Out: ``OverallRow`` records.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from trialpress.results.chance import chance_in_top
from trialpress.results.overall import OverallMean, Part, overall_mean
from trialpress.results.places import place_range, places_of, top_of
from trialpress.results.publishing import SeriesRules, SetupName
from trialpress.results.ranking import Ranking, Rules
from trialpress.results.records import OverallRow
from trialpress.results.rounding import decimals_for, published
from trialpress.results.separation import (
    GUARDED,
    critical_values,
    independent_errors,
    simultaneous_differences,
)

Worked = tuple[SeriesRules, Ranking]


def rank_overall(
    worked: Sequence[Worked], rules: Rules, names: Mapping[str, SetupName]
) -> list[OverallRow]:
    """Rank every set-up that has a mean in all current series with a weight.

    A set-up with a series missing gets no place. Values are compared on the logarithm, with the
    fewest degrees of freedom of any set-up; a value of 0 comes after all others and has no
    interval.
    """
    counted = [(series, ranking) for series, ranking in worked if series.weight > 0]
    counted = [(series, ranking) for series, ranking in counted if series.is_current]
    if not counted:
        return []
    parts = {setup: _parts_of(setup, counted) for setup in sorted(_setups(counted))}
    whole = {s: overall_mean(list(p.values())) for s, p in parts.items() if len(p) == len(counted)}
    complete = _complete_rows(whole, rules, names)
    start = len(complete) + 1
    lacking = sorted(set(parts) - set(whole), key=lambda setup: names[setup].name)
    return complete + [
        _incomplete_row(names[setup], parts[setup], counted, position)
        for position, setup in enumerate(lacking, start=start)
    ]


def _setups(counted: Sequence[Worked]) -> set[str]:
    return {cell.setup for _, ranking in counted for cell in ranking.cells}


def _parts_of(setup: str, counted: Sequence[Worked]) -> dict[str, Part]:
    """The set-up's part in each series it was run in, by protocol."""
    parts = {}
    for series, ranking in counted:
        for i, cell in enumerate(ranking.cells):
            if cell.setup == setup:
                means = ranking.means
                parts[series.protocol] = Part(
                    series.weight,
                    float(means.mean[i]),
                    float(means.standard_error[i]),
                    float(means.df[i]),
                )
    return parts


@dataclass(frozen=True)
class _Compared:
    """Places of the complete set-ups that the data cannot rule out, and chances."""

    place_best: Mapping[str, int]
    place_worst: Mapping[str, int]
    chance_top: Mapping[str, float]


def _complete_rows(
    whole: Mapping[str, OverallMean], rules: Rules, names: Mapping[str, SetupName]
) -> list[OverallRow]:
    if not whole:
        return []
    intervals = {setup: mean.interval(rules.confidence) for setup, mean in whole.items()}
    decimals = decimals_for((high - low) / 2 for low, high in intervals.values())
    compared = _compare(whole, rules)
    values = np.array([round(mean.value, decimals) for mean in whole.values()])
    places = dict(zip(whole, places_of(values, higher_is_better=True).tolist(), strict=True))
    order = sorted(whole, key=lambda setup: (places[setup], names[setup].name))
    return [
        OverallRow(
            setup=setup,
            machine=names[setup].machine,
            maker=names[setup].maker,
            scope="bench",
            place=places[setup],
            value=published(whole[setup].value, decimals),
            low=published(intervals[setup][0], decimals),
            high=published(intervals[setup][1], decimals),
            place_best=compared.place_best[setup],
            place_worst=compared.place_worst[setup],
            chance_top=published(compared.chance_top[setup], 2),
            top=top_of(compared.place_best[setup], compared.place_worst[setup], rules.top_n).value,
            complete=True,
            missing=None,
            why=_why(whole[setup]),
            decimals=decimals,
            position=position,
        )
        for position, setup in enumerate(order, start=1)
    ]


def _compare(whole: Mapping[str, OverallMean], rules: Rules) -> _Compared:
    """Compare on the logarithm; set-ups at 0 come after all that are above it."""
    above = [setup for setup, mean in whole.items() if mean.value > 0]
    at_zero = [setup for setup in whole if setup not in above]
    best = dict.fromkeys(at_zero, len(above) + 1)
    worst = dict.fromkeys(at_zero, len(whole))
    chance = dict.fromkeys(whole, math.nan)
    if not above:
        return _Compared(best, worst, chance)
    logs = np.array([math.log(whole[setup].value) for setup in above])
    errors = np.array([whole[setup].log_se for setup in above])
    df = min(whole[setup].df for setup in above)
    if math.isnan(df) or np.isnan(errors).any():
        is_better = np.zeros((len(above), len(above)), dtype=np.bool_)
    else:
        critical = GUARDED * critical_values(rules.confidence, len(above), df)
        between = simultaneous_differences(logs, independent_errors(errors), critical)
        is_better = between.is_larger
        chance.update(zip(above, chance_in_top(logs, errors, df, rules.top_n), strict=True))
    above_best, above_worst = place_range(is_better)
    best.update(zip(above, above_best.tolist(), strict=True))
    worst.update(zip(above, above_worst.tolist(), strict=True))
    return _Compared(best, worst, chance)


def _why(mean: OverallMean) -> str | None:
    if mean.value == 0:
        return "a mean of 0 or less in one of the protocols makes the overall 0"
    if math.isnan(mean.log_se):
        return "one of the protocols has no set-up with two valid runs, so there is no interval"
    return None


def _incomplete_row(
    name: SetupName, parts: Mapping[str, Part], counted: Sequence[Worked], position: int
) -> OverallRow:
    missing = [series.title for series, _ in counted if series.protocol not in parts]
    return OverallRow(
        setup=name.setup,
        machine=name.machine,
        maker=name.maker,
        scope="bench",
        place=None,
        value=None,
        low=None,
        high=None,
        place_best=None,
        place_worst=None,
        chance_top=None,
        top=None,
        complete=False,
        missing="; ".join(missing),
        why=None,
        decimals=0,
        position=position,
    )
