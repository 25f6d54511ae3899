"""Sentences on how far graders agree.

In:  rows of ``agreements``.
Out: text, one sentence a pair.

Short: one table, one sentence.
"""

from __future__ import annotations

from trialpress.view.results import GraderPair
from trialpress.words import say
from trialpress.words.figures import count, interval, number, percent

DECIMALS = 2


def agreement(row: GraderPair, confidence: float) -> str:
    """How far two graders agree; no verdict on it, as no border has a source."""
    values = {
        "one": row.grader,
        "other": row.other,
        "zones": count(row.zones, "zone", "zones"),
    }
    if row.kappa is None:
        return say(
            "{one} and {other} gave one grade to all of {zones}, which tells nothing.", **values
        )
    values["kappa"] = number(row.kappa, DECIMALS)
    if row.low is None or row.high is None:
        return say(
            "{one} and {other}: weighted kappa {kappa} over {zones}, which are too few, or too "
            "much alike, for an interval.",
            **values,
        )
    return say(
        "{one} and {other}: weighted kappa {kappa} ({ends} at {confidence}) over {zones}.",
        ends=interval(row.low, row.high, DECIMALS),
        confidence=percent(confidence),
        **values,
    )
