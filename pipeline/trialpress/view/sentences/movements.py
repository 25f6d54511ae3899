"""Sentences on what moved.

In:  rows of ``movements`` and ``movement_spans``.
Out: text. A move is told as a move of the place; nothing is said to have become better.
"""

from __future__ import annotations

from collections.abc import Iterator

from trialpress.analyses.codes import Reason
from trialpress.analyses.records import MovementRow, SpanRow
from trialpress.view.names import Names
from trialpress.view.terms import codes, term, why_words
from trialpress.words import say, say_count
from trialpress.words.figures import count, day, places_spoken


def movement(row: MovementRow, names: Names) -> str:
    """One set-up's place, before and now, and why."""
    return say(
        "{name}, on {title}: {change}.",
        name=names.setups[row.setup].full,
        title=names.title((row.protocol, row.version)),
        change=f"{_change(row)}{_range(row)}{_why(row)}",
    )


def within_doubt(how_many: int) -> str:
    """How many places changed by no more than what is open; blank for none."""
    if not how_many:
        return ""
    return say_count(
        "{count} set-up changed its place within those that its runs leave open: that tells "
        "nothing of it.",
        "{count} set-ups changed their places within those that their runs leave open: that tells "
        "nothing of them.",
        how_many,
    )


def span(row: SpanRow) -> str:
    """What two dates are compared, or why they are not."""
    values = {"day": day(row.since), "days": count(row.bench_days, "bench day", "bench days")}
    if row.why:
        return say("Since {day}, over {days}: {why}.", why=why_words(row.why), **values)
    return say("Since {day}, over {days}.", **values)


def _change(row: MovementRow) -> str:
    place, before = row.place, row.place_before
    match row.change:
        case "new":
            return say("new, in place {place}", place=place)
        case "gone":
            return say("no longer placed, before in place {before}", before=before)
        case "stayed":
            return say("still in place {place}", place=place)
        case "up":
            return say("up from place {before} to {place}", before=before, place=place)
    return say("down from place {before} to {place}", before=before, place=place)


def _range(row: MovementRow) -> str:
    """The places that are not ruled out, now and before."""
    if row.place_best is None or row.place_worst is None:
        return ""
    now = places_spoken(row.place_best, row.place_worst)
    if row.place_best_before is None or row.place_worst_before is None:
        # For translators: this follows "new, in place 3".
        return say(", the runs leave {places} open", places=now)
    before = (row.place_best_before, row.place_worst_before)
    if before == (row.place_best, row.place_worst):
        # For translators: this follows "still in place 3".
        return say(", the runs leave {places} open as before", places=now)
    # For translators: this follows "up from place 4 to 3".
    return say(
        ", the runs leave {places} open (before {before})",
        places=now,
        before=places_spoken(*before),
    )


def _why(row: MovementRow) -> str:
    reasons = list(_reasons(row))
    if not reasons:
        return "; " + say("nothing new was measured") if row.change == "stayed" else ""
    own = {Reason.NEW_SERIES, Reason.NEW_RUNS, Reason.CORRECTION}
    if not own & set(codes(row.why)):
        return "; " + ", ".join(reasons) + "; " + say("nothing new was measured of it")
    return "; " + ", ".join(reasons)


def _reasons(row: MovementRow) -> Iterator[str]:
    reasons = set(codes(row.why))
    if Reason.NEW_SERIES in reasons:
        yield term("moved", Reason.NEW_SERIES)
    if Reason.PROTOCOL_CHANGE in reasons:
        yield term("moved", Reason.PROTOCOL_CHANGE)
    if Reason.NEW_RUNS in reasons:
        yield say("{runs} of its own", runs=count(row.new_runs, "new run", "new runs"))
    if Reason.CORRECTION in reasons:
        yield say("{runs} of its own corrected", runs=count(row.corrected_runs, "run", "runs"))
    if Reason.NEW_COMPETITOR in reasons:
        # For translators: set-ups that are new, and placed better.
        yield say("{set_ups} before it", set_ups=count(row.new_above, "newcomer", "newcomers"))
    if Reason.OTHERS_MOVED in reasons:
        # For translators: other set-ups that were placed worse and are better now, or the reverse.
        yield say(
            "{others} changed sides with it", others=count(row.others_passed, "other", "others")
        )
