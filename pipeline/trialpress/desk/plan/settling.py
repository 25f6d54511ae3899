"""Which runs would settle who is in a cut, with the reasons.

In:  a series as it stands, and over how many evenings its runs may be spread.
Out: runs for each set-up, and the figures that speak for them.
"""

from __future__ import annotations

import numpy as np

from trialpress.desk.plan.series import OpenSeries, Suggestion, Wanted
from trialpress.desk.plan.spreading import what_evenings_buy
from trialpress.results.assurance import ASSURANCE
from trialpress.results.planning import (
    EACH,
    OPEN,
    Cut,
    is_open,
    runs_to_settle,
    settle,
    settling_assurance,
)
from trialpress.words import figures


def suggest_settling(series: OpenSeries, top_n: int, runs: int) -> Suggestion:
    """Give out runs so that least doubt is left about who is in the first ``top_n`` places."""
    means = series.ranking.means
    n = np.array([tally.runs for tally in series.tallies], dtype=np.float64)
    spread = means.standard_error * np.sqrt(n)
    cut = Cut(series.sign * means.mean, n, spread, series.df, top_n)
    given = settle(cut, runs)
    title = series.tallies[0].title
    places = "the first place" if top_n == 1 else f"the first {top_n} places"
    reasons = [f"{title}: no few runs more would change who is in {places}."]
    if top_n >= len(n):
        reasons = [f"{title}: all {len(n)} set-ups are in {places}, whatever they show."]
    elif sum(given):
        settled = _settled(f"{title}: who is in {places}", cut, given)
        opened = np.flatnonzero(is_open(cut.chances())).tolist()
        reasons = [*settled, *series.rests_on(opened), what_evenings_buy(series)]
    wanted = [
        Wanted(tally, more) for tally, more in zip(series.tallies, given, strict=True) if more
    ]
    return Suggestion(tuple(wanted), tuple(reasons), f"plan: settle top {top_n}")


def _settled(what: str, cut: Cut, given: list[int]) -> tuple[str, ...]:
    """How open a cut is, how often the runs given out would close it, and how many it takes."""
    now, low, high = int(np.sum(is_open(cut.chances()))), 100 * OPEN, 100 * (1 - OPEN)
    if not now:
        return (f"{what} is hardly open: each is in or out with a chance above {high:g} %.",)
    runs = figures.count(sum(given), "more run", "more runs")
    expected = (
        f"{what} is open between {now} set-ups, each with a chance between {low:g} and {high:g} %. "
        f"The {runs} below help most; over what they may show, they settle it "
        f"{in_ten(settling_assurance(cut, given))}."
    )
    return expected, _needed(cut, now)


def _needed(cut: Cut, opened: int) -> str:
    """How many runs a cut takes until each set-up is in or out, with good assurance."""
    needed = runs_to_settle(cut, ASSURANCE)
    if needed is None:
        return (
            f"Even {EACH[-1]} more runs of each of the {opened} settle it less than "
            f"{in_ten(ASSURANCE)}: some may be too near each other for any plan."
        )
    runs = figures.count(needed, "more run", "more runs")
    return f"To settle it {in_ten(ASSURANCE)} takes about {runs} of each of the {opened}."


def in_ten(chance: float) -> str:
    """A chance in words, to the tenth: ``8 times in 10``."""
    tenths = round(10 * chance)
    return f"{tenths} times in 10" if tenths else "hardly ever"
