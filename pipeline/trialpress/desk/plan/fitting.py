"""An evening of so many hours: which runs fit into it, and what is due before it.

In:  runs worth making, in the order of their worth; the pace of past runs; the instruments.
Out: the first of those runs that fit, with the reference's own; instruments whose calibration is
     old or was never noted. Runs under a protocol that was never timed fit nowhere: nothing is
     guessed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from trialpress.desk.plan.evening import in_bench_order
from trialpress.desk.plan.series import Suggestion, Wanted
from trialpress.desk.plan.spreading import over_evenings
from trialpress.view.plans import Pace, Tally
from trialpress.view.typed import Instrument
from trialpress.words import figures

CALIBRATION_DAYS = 365
"""A balance is calibrated once a year: common practice, no source."""
CHECK_WEIGHT = "Before the first run weigh a check weight on each balance, and note what it shows."


@dataclass(frozen=True)
class Hours:
    """The time there is in each evening, and how many evenings."""

    minutes: float
    evenings: int


def fitted(
    suggestion: Suggestion, tallies: Sequence[Tally], paces: Mapping[str, Pace], hours: Hours
) -> Suggestion:
    """The first runs of a suggestion that fit into the hours, the reference's runs included.

    Parameters
    ----------
    suggestion : Suggestion
        Runs in the order of their worth.
    tallies : sequence of Tally
        All set-ups in all series: where the reference set-ups are found.
    paces : mapping of protocol to Pace
        Minutes from run to run, from the times of past runs.
    hours : Hours
        Minutes an evening, and evenings.

    Returns
    -------
    Suggestion
        With a sentence on what fits, and on what was never timed.
    """
    timed = [want for want in suggestion.wanted if want.tally.protocol in paces]
    kept = list[Wanted]()
    for one in _one_by_one(timed):
        more = _added(kept, one)
        if _longest(more, tallies, paces, hours.evenings) > hours.minutes:
            break
        kept = more
    fit = _told(suggestion.wanted, timed, kept, hours)
    reasons = (*suggestion.reasons, *fit, *_paces_told(kept, paces))
    return replace(suggestion, wanted=tuple(kept), reasons=reasons)


def _one_by_one(wanted: Iterable[Wanted]) -> Iterator[Tally]:
    for want in wanted:
        yield from [want.tally] * want.runs


def _added(kept: Sequence[Wanted], one: Tally) -> list[Wanted]:
    if kept and kept[-1].tally == one:
        return [*kept[:-1], Wanted(one, kept[-1].runs + 1)]
    return [*kept, Wanted(one, 1)]


def _longest(
    wanted: Sequence[Wanted], tallies: Sequence[Tally], paces: Mapping[str, Pace], evenings: int
) -> float:
    """Minutes of the longest of the evenings."""
    shares = over_evenings(tuple(wanted), evenings)
    orders = (in_bench_order(share, tallies, seed=0) for share in shares)
    return max(sum(paces[tally.protocol].minutes for tally in order) for order in orders)


def _told(
    all_wanted: Sequence[Wanted], timed: Sequence[Wanted], kept: Sequence[Wanted], hours: Hours
) -> Iterator[str]:
    whole, known, fitting = (sum(w.runs for w in some) for some in (all_wanted, timed, kept))
    evening = "an evening" if hours.evenings == 1 else f"{hours.evenings} evenings"
    runs = figures.count(whole, "run", "runs")
    if whole:
        long = f"{hours.minutes / 60:g} h"
        yield (
            f"Of {runs}, the first {fitting} fit into {evening} of {long} at the pace of past "
            "runs, with the reference before and after them."
        )
    if known < whole:
        left = figures.count(whole - known, "run is", "runs are")
        yield f"{left} under protocols whose runs were never timed: plan those with --runs."


def _paces_told(kept: Sequence[Wanted], paces: Mapping[str, Pace]) -> Iterator[str]:
    """How long a run takes under each protocol, and from how many typed times that comes."""
    for protocol in dict.fromkeys(want.tally.protocol for want in kept):
        pace = paces[protocol]
        gaps = figures.count(pace.gaps, "gap", "gaps")
        minutes = figures.number(pace.minutes, 1)
        yield f"{protocol}: {minutes} min a run, the median of {gaps} between past runs of a day."


def due_before(instruments: Iterable[Instrument], as_of: date) -> Iterator[str]:
    """What to do before the first run, one sentence each."""
    yield CHECK_WEIGHT
    for tool in instruments:
        if tool.calibrated_on is None:
            yield f"{tool.instrument}: when it was calibrated is not noted."
        elif (as_of - tool.calibrated_on).days > CALIBRATION_DAYS:
            yield f"{tool.instrument}: calibrated on {tool.calibrated_on}, more than a year ago."
