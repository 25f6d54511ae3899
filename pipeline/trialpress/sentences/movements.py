"""Sentences on what moved.

In:  rows of ``movements`` and ``movement_spans``.
Out: text. A move is told as a move of the place; nothing is said to have become better.
"""

from __future__ import annotations

from collections.abc import Iterator

from trialpress.analyses.movements import Reason
from trialpress.analyses.records import MovementRow, SpanRow
from trialpress.sentences.names import Names
from trialpress.words.figures import count, day, places_spoken


def movement(row: MovementRow, names: Names) -> str:
    """One set-up's place, before and now, and why."""
    name, title = names.setups[row.setup].full, names.title((row.protocol, row.version))
    return f"{name}, on {title}: {_change(row)}{_range(row)}{_why(row)}."


def span(row: SpanRow) -> str:
    """What two dates are compared, or why they are not."""
    days = count(row.bench_days, "bench day", "bench days")
    start = f"Since {day(row.since)}, over {days}"
    return f"{start}: {row.why}." if row.why else f"{start}."


def _change(row: MovementRow) -> str:
    if row.change == "new":
        return f"new, in place {row.place}"
    if row.change == "gone":
        return f"no longer placed, before in place {row.place_before}"
    if row.change == "stayed":
        return f"still in place {row.place}"
    return f"{row.change} from place {row.place_before} to {row.place}"


def _range(row: MovementRow) -> str:
    """The places that are not ruled out, now and before."""
    if row.place_best is None or row.place_worst is None:
        return ""
    now = f", the runs leave {places_spoken(row.place_best, row.place_worst)} open"
    if row.place_best_before is None or row.place_worst_before is None:
        return now
    before = (row.place_best_before, row.place_worst_before)
    if before == (row.place_best, row.place_worst):
        return f"{now} as before"
    return f"{now} (before {places_spoken(*before)})"


def _why(row: MovementRow) -> str:
    reasons = list(_reasons(row))
    if not reasons:
        return "; nothing new was measured" if row.change == "stayed" else ""
    own = {Reason.NEW_SERIES, Reason.NEW_RUNS, Reason.CORRECTION}
    has_own = bool(own & set((row.why or "").split()))
    aside = "" if has_own else "; nothing new was measured of it"
    return f"; {', '.join(reasons)}{aside}"


def _reasons(row: MovementRow) -> Iterator[str]:
    said = set((row.why or "").split())
    if Reason.NEW_SERIES in said:
        yield "the series is new"
    if Reason.PROTOCOL_CHANGE in said:
        yield "a new version of the protocol joined the series"
    if Reason.NEW_RUNS in said:
        yield f"{count(row.new_runs, 'new run', 'new runs')} of its own"
    if Reason.CORRECTION in said:
        yield f"{count(row.corrected_runs, 'run', 'runs')} of its own corrected"
    if Reason.NEW_COMPETITOR in said:
        yield f"{count(row.new_above, 'newcomer', 'newcomers')} before it"
    if Reason.OTHERS_MOVED in said:
        yield f"{count(row.others_passed, 'other', 'others')} changed sides with it"
