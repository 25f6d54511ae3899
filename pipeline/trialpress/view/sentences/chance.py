"""The chance of the cut beside the range of places, where the two seem to disagree.

In:  standings.
Out: one sentence that explains the two; blank where they agree.

Short: there is one such sentence.
"""

from __future__ import annotations

from collections.abc import Sequence

from trialpress.view import verdicts
from trialpress.view.results import Standing
from trialpress.words import figures, say

HIGH, LOW = 0.95, 0.05
LEAST = 0.01


def seems_to_disagree(standing: Standing) -> bool:
    """Whether the chance is nearly decided where the range of places is not."""
    chance = standing.chance_top
    return standing.top == "possible" and chance is not None and not LOW < chance < HIGH


def chance_beside_range(standing: Standing, top_n: int) -> str:
    """Why a chance near one, or near none, and "may be in" stand together; or blank."""
    if standing.chance_top is None or not seems_to_disagree(standing):
        return ""
    return say(
        "Its estimated chance of {cut} is {chance}, and yet it only “may be in”: the chance is the "
        "best guess for this set-up alone, the range of places holds for all set-ups at once.",
        cut=verdicts.cut_words(top_n),
        chance=_chance(standing.chance_top),
    )


def chances_beside_ranges(standings: Sequence[Standing], top_n: int) -> str:
    """The same of a whole standing, with the number of set-ups it is about; or blank."""
    found = sum(seems_to_disagree(standing) for standing in standings)
    if not found:
        return ""
    return say(
        "{setups} only “may be” in {cut} though the estimated chance is above 95 or below 5 %: the "
        "chance, given in the data, is the best guess for a set-up alone, while ranges of places "
        "hold for all set-ups at once.",
        setups=figures.count(found, "set-up", "set-ups"),
        cut=verdicts.cut_words(top_n),
    )


def _chance(share: float) -> str:
    """A chance to the percent, and never nothing or all."""
    if share >= 1 - LEAST:
        return say("over {chance}", chance=figures.percent(1 - LEAST))
    if share <= LEAST:
        return say("under {chance}", chance=figures.percent(LEAST))
    return figures.percent(share)
