"""How many runs tell two set-ups apart, with the reasons.

In:  a series as it stands, two of its set-ups, and over how many evenings runs may be spread.
Out: runs for both, and the figures that speak for them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from trialpress.desk.plan.series import NothingToGoOnError, OpenSeries, Suggestion, Wanted
from trialpress.desk.plan.settling import in_ten
from trialpress.desk.plan.spreading import what_evenings_buy
from trialpress.intake.nearest import meant
from trialpress.results.assurance import (
    ASSURANCE,
    MOST_RUNS,
    Bout,
    Evenings,
    Side,
    assurance,
    runs_to_separate,
)
from trialpress.results.cells import all_days, all_setups, run_counts
from trialpress.results.days import day_weights, difference_parts, mean_parts
from trialpress.results.evenings import runs_to_decide_all
from trialpress.results.metric import scatter_of_cells
from trialpress.results.spread import Spread
from trialpress.words import figures


def suggest_separating(
    series: OpenSeries, pair: tuple[str, str], confidence: float, evenings: int
) -> Suggestion:
    """Runs that each of two set-ups needs to be told apart, under the rule of the standings."""
    i, j = _index(series, pair[0]), _index(series, pair[1])
    bout = _bout(series, i, j, confidence)
    more = runs_to_separate(bout, evenings)
    reasons = [
        *_found(series, pair, (i, j)),
        *series.rests_on((i, j)),
        *_assured(bout, more, evenings),
        *_decided(series, confidence),
        what_evenings_buy(series),
    ]
    if series.ranking.spread is None:
        reasons.append("For counts and grades this is a rough guide.")
    wanted = [Wanted(series.tallies[k], more) for k in (i, j)] if more else []
    return Suggestion(tuple(wanted), tuple(reasons), f"plan: separate {pair[0]} {pair[1]}")


def _found(series: OpenSeries, pair: tuple[str, str], at: tuple[int, int]) -> Iterator[str]:
    """What the runs so far say of the two."""
    first, between = series.tallies[at[0]], series.ranking.differences
    difference, low, high = (
        float(ends[at]) for ends in (between.difference, between.low, between.high)
    )
    yield (
        f"{first.title}: {pair[0]} and {pair[1]} differ by {abs(difference):.3g} {first.unit} in "
        f"{series.tallies[at[0]].runs} and {series.tallies[at[1]].runs} runs so far."
    )
    if low > 0 or high < 0:
        yield "The runs so far tell them apart."
    if abs(difference) < first.matters:
        yield f"That is smaller than what matters ({first.matters:g} {first.unit})."


def _assured(bout: Bout, more: int | None, evenings: int) -> Iterator[str]:
    """How many further runs are likely to tell the two apart, in one evening and over several."""
    if more == 0:
        return
    over = f" over {evenings} evenings" if evenings > 1 else ""
    if more is None:
        reached = math.floor(10 * assurance(bout, Evenings(MOST_RUNS, evenings)))
        yield (
            f"Even {MOST_RUNS} further runs of each{over} tell them apart no more than "
            f"{reached + 1} times in 10: not worth it."
        )
        return
    further = figures.count(more, "further run", "further runs")
    yield (
        f"{further.capitalize()} of each{over} tell them apart {in_ten(ASSURANCE)} or more: that "
        "is assurance, averaged over what their difference and the spreads may really be."
    )
    if evenings > 1:
        alone = runs_to_separate(bout, 1)
        yield f"In one evening it would take {alone or f'more than {MOST_RUNS}'} of each."


def _decided(series: OpenSeries, confidence: float) -> Iterator[str]:
    """With how many runs any two set-ups are called level, where they are not told apart."""
    one_each = ", one an evening" if series.ranking.day.sitting_variance > 0 else ""
    matters = series.tallies[0].matters
    runs = runs_to_decide_all(series.ranking, matters, confidence)
    if runs is not None:
        yield (
            f"With about {runs} runs of each in all{one_each}, any two set-ups of the series are "
            f"told apart or called level (within {matters:g} {series.tallies[0].unit})."
        )


def _index(series: OpenSeries, setup: str) -> int:
    known = [tally.setup for tally in series.tallies]
    if setup not in known:
        protocol = series.tallies[0].protocol
        reason = f"{setup} has no valid run in it. {meant(setup, known)}".rstrip(". ")
        raise NothingToGoOnError(protocol, reason)
    return known.index(setup)


def _bout(series: OpenSeries, i: int, j: int, confidence: float) -> Bout:
    ranking = series.ranking
    weights = day_weights(all_setups(ranking.cells), all_days(ranking.cells))
    parts = difference_parts(weights)
    return Bout(
        difference=float(ranking.means.mean[i] - ranking.means.mean[j]),
        sides=(_side(series, i), _side(series, j)),
        spread=_spread_of(series, i, j),
        day=ranking.day,
        days=float(parts.days[i, j]),
        count=len(series.tallies),
        confidence=confidence,
    )


def _spread_of(series: OpenSeries, i: int, j: int) -> Spread:
    """The run-to-run spread of two set-ups: that of the series, or that of their levels."""
    known, cells = series.ranking.spread, series.ranking.cells
    if known is None:
        return Spread(math.sqrt(series.run_variance), series.df)
    each = known.of_cells(len(cells))
    df = known.df_of_pairs(each**2 / run_counts(cells), slice(i, i + 1))
    both = math.sqrt(math.fsum(each[[i, j]] ** 2) / 2)
    return Spread(both, float(np.broadcast_to(df, (1, len(cells)))[0, j]))


def _side(series: OpenSeries, i: int) -> Side:
    cells = series.ranking.cells
    held = mean_parts(all_setups(cells), all_days(cells)).sittings
    own = Spread(math.nan, 0.0)
    if series.ranking.spread is not None:
        scatter = scatter_of_cells(cells, series.ranking.day)
        own = Spread(float(scatter.sd[i]), float(scatter.df[i]))
    return Side(cells[i].n, own, float(held[i]))
