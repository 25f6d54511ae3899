"""Overall places: complete set-ups ranked, the others listed with what is missing.

In:  the rankings of every series that counts, and the set-ups' names.
Out: ``OverallRow`` and ``OverallScopeRow`` records.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from trialpress.results.chance import chance_in_top
from trialpress.results.interaction import Interaction, interaction_variance
from trialpress.results.overall import OverallMean, Part, overall_mean
from trialpress.results.places import place_range, places_of, top_of
from trialpress.results.publishing import SeriesRules, SetupName
from trialpress.results.ranking import Ranking, Rules
from trialpress.results.records import OverallRow, OverallScopeRow
from trialpress.results.rounding import decimals_for, published
from trialpress.results.separation import (
    critical_values,
    independent_errors,
    simultaneous_differences,
)
from trialpress.words import say, say_count

Worked = tuple[SeriesRules, Ranking]


BENCH = "bench"
LIKE_THESE = "floors like these"
FEWEST_FLOORS = 3


def rank_overall(
    worked: Sequence[Worked], rules: Rules, names: Mapping[str, SetupName]
) -> tuple[list[OverallRow], list[OverallScopeRow]]:
    """Rank every set-up that has a mean in all current series with a weight, in both scopes.

    A set-up with a series missing gets no place. Values are compared on the logarithm, with the
    fewest degrees of freedom of any set-up; a value of 0 comes after all others and has no
    interval. What holds for floors like these is only told where there are three floors.
    """
    counted = [one for one in worked if one[0].weight > 0 and one[0].is_current]
    if not counted:
        return [], []
    parts = {setup: _parts_of(setup, counted) for setup in sorted(_setups(counted))}
    full = {setup: own for setup, own in parts.items() if len(own) == len(counted)}
    whole = {setup: overall_mean(list(own.values())) for setup, own in full.items()}
    floors = len({series.floor for series, _ in counted})
    scopes: dict[str, Mapping[str, OverallMean]] = {BENCH: whole}
    interaction = _interaction(full) if floors >= FEWEST_FLOORS else None
    if interaction:
        weights = [series.weight for series, _ in counted]
        scopes[LIKE_THESE] = {
            setup: mean.on_floors_like_these(interaction, weights) for setup, mean in whole.items()
        }
    lacking = {setup: own for setup, own in parts.items() if setup not in full}
    rows: list[OverallRow] = []
    for scope, means in scopes.items():
        rows += _complete_rows(scope, means, rules, names)
        rows += _incomplete_rows(scope, lacking, counted, names, start=len(means) + 1)
    return rows, _scope_rows(scopes, counted, floors, interaction)


def _interaction(full: Mapping[str, Mapping[str, Part]]) -> Interaction | None:
    """The set-up x floor variance; None where there are too few set-ups, or errors unknown."""
    table = [
        list(own.values()) for own in full.values() if all(part.mean > 0 for part in own.values())
    ]
    if len(table) < 2:  # noqa: PLR2004  one set-up has no interaction
        return None
    logs = np.log([[part.mean for part in own] for own in table])
    errors = np.array([[part.standard_error / part.mean for part in own] for own in table])
    return None if np.isnan(errors).any() else interaction_variance(logs, errors**2)


def _scope_rows(
    scopes: Mapping[str, Mapping[str, OverallMean]],
    counted: Sequence[Worked],
    floors: int,
    interaction: Interaction | None,
) -> list[OverallScopeRow]:
    too_few = floors < FEWEST_FLOORS
    return [
        OverallScopeRow(
            scope=scope,
            series=len(counted),
            floors=floors,
            set_ups=len(means),
            interaction_pct=published(100 * math.sqrt(interaction.variance), 1)
            if interaction and scope == LIKE_THESE
            else None,
            claims_best=not too_few,
            why=_too_few(floors) if too_few else None,
        )
        for scope, means in scopes.items()
    ]


def _too_few(floors: int) -> str:
    return say_count(
        "{count} floor(s), fewer than {least}: no best overall is claimed",
        "{count} floor(s), fewer than {least}: no best overall is claimed",
        floors,
        least=FEWEST_FLOORS,
    )


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
    scope: str, whole: Mapping[str, OverallMean], rules: Rules, names: Mapping[str, SetupName]
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
            scope=scope,
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
            why=_why(whole[setup], intervals[setup]),
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
        critical = critical_values(rules.confidence, len(above), df)
        between = simultaneous_differences(logs, independent_errors(errors), critical)
        is_better = between.is_larger
        chance.update(zip(above, chance_in_top(logs, errors, df, rules.top_n), strict=True))
    above_best, above_worst = place_range(is_better)
    best.update(zip(above, above_best.tolist(), strict=True))
    worst.update(zip(above, above_worst.tolist(), strict=True))
    return _Compared(best, worst, chance)


def _why(mean: OverallMean, interval: tuple[float, float]) -> str | None:
    if mean.value == 0:
        return say("a mean of 0 or less in one of the protocols makes the overall 0")
    if math.isnan(mean.log_se):
        return say(
            "one of the protocols has no set-up with two valid runs, so there is no interval"
        )
    if math.isnan(interval[0]):
        return say(
            "a mean in one of the protocols is so near to 0 that the overall has no interval"
        )
    return None


def _incomplete_rows(
    scope: str,
    lacking: Mapping[str, Mapping[str, Part]],
    counted: Sequence[Worked],
    names: Mapping[str, SetupName],
    *,
    start: int,
) -> list[OverallRow]:
    """Set-ups with a series missing, by name, after all that have a place."""
    nothing = dict.fromkeys(
        ("place", "value", "low", "high", "place_best", "place_worst", "chance_top", "top", "why")
    )
    return [
        OverallRow(
            setup=setup,
            machine=names[setup].machine,
            maker=names[setup].maker,
            scope=scope,
            complete=False,
            missing="; ".join(
                series.title for series, _ in counted if series.protocol not in lacking[setup]
            ),
            decimals=0,
            position=position,
            **nothing,
        )
        for position, setup in enumerate(
            sorted(lacking, key=lambda setup: names[setup].name), start=start
        )
    ]
