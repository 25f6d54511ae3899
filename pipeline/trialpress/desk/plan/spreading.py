"""A set-up's runs spread over evenings, and what that buys.

In:  a series as it stands, and the runs that are wanted.
Out: the runs of each evening, and a sentence on what evenings are worth in this series.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from trialpress.desk.plan.series import OpenSeries, Wanted
from trialpress.results.days import SittingEvidence
from trialpress.results.evenings import as_many_in_one_evening
from trialpress.words import figures

SOME_EVENINGS = 3
NOTHING_STANDS_OUT = (SittingEvidence.ZERO, SittingEvidence.NOT_CLEAR)


def over_evenings(wanted: Sequence[Wanted], evenings: int) -> tuple[tuple[Wanted, ...], ...]:
    """The runs of each evening: those of a set-up spread as evenly as can be, the first ones first.

    Set-ups that want as many runs share their evenings, so that what a day does to all of them
    drops out of their differences. An evening without a run is left out.
    """
    shares = (
        tuple(
            replace(want, runs=want.runs // evenings + (evening < want.runs % evenings))
            for want in wanted
            if want.runs // evenings + (evening < want.runs % evenings)
        )
        for evening in range(evenings)
    )
    return tuple(share for share in shares if share)


def evenings_for(series: OpenSeries) -> int:
    """Over how many evenings runs are best spread: one where nothing speaks for more."""
    day = series.ranking.day
    comes_out_at_nothing = (
        day.sitting_evidence is SittingEvidence.WITH_DAYS and day.sitting_variance == 0
    )
    is_alike = day.sitting_evidence in NOTHING_STANDS_OUT or comes_out_at_nothing
    return 1 if is_alike else SOME_EVENINGS


def what_evenings_buy(series: OpenSeries) -> str:
    """What runs on several evenings tell beside as many in one, or why that cannot be said."""
    evidence, each = series.ranking.day.sitting_evidence, SOME_EVENINGS
    if evidence in NOTHING_STANDS_OUT:
        return (
            "What an evening adds to a set-up does not stand out from the scatter of its runs: "
            f"{each} runs tell about as much in one evening as on {each}."
        )
    if evidence is SittingEvidence.IN_RUNS:
        return (
            "Every set-up had one run an evening so far, so what an evening adds is in the "
            "scatter of the runs: more runs in one evening tell less than as many on several, and "
            "how much less cannot be estimated."
        )
    if series.ranking.day.sitting_variance > 0:
        return _equivalent(series, each)
    if evidence is SittingEvidence.WITH_DAYS:
        return (
            "What an evening adds to a set-up comes out at nothing, from the reference alone: "
            f"{each} runs tell about as much in one evening as on {each}, as far as that goes."
        )
    return (
        "What the runs of one evening share cannot be estimated, as no two set-ups share two days "
        "on which runs were repeated. Runs on several evenings would tell; more in one would not."
    )


def _equivalent(series: OpenSeries, evenings: int) -> str:
    day, unit = series.ranking.day, series.tallies[0].unit
    run = series.run_variance
    as_many = as_many_in_one_evening(evenings, run, day.sitting_variance)
    worth = "more than any number of runs in one evening"
    if not math.isinf(as_many):
        worth = f"as much as {figures.count(round(as_many), 'run', 'runs')} in one evening"
    spreads = (
        f"runs of one evening scatter by {math.sqrt(run):.3g} {unit}, evenings of one set-up by "
        f"{math.sqrt(day.sitting_variance):.3g} {unit}"
    )
    bound = ""
    if day.sitting_evidence is SittingEvidence.WITH_DAYS:
        bound = (
            " At most: only the reference was run on several days, so that what a day does to all "
            "is in it."
        )
    return f"One run on each of {evenings} evenings tells {worth} ({spreads}).{bound}"
