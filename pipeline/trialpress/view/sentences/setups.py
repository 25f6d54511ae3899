"""Sentences on set-ups of one machine against each other.

In:  rows of ``setup_deltas``.
Out: one sentence a pair and series, and one a pair over all its series.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from trialpress.analyses.records import SetupDeltaRow
from trialpress.view.names import Names
from trialpress.view.terms import codes, term, why_words
from trialpress.words import say
from trialpress.words.figures import (
    count,
    difference_unit,
    interval,
    listing,
    number,
    percent,
    signed,
    with_unit,
)


def setup_delta(row: SetupDeltaRow, names: Names) -> str:
    """One pair on one series: who is better, by how much, how sure, on how many runs."""
    values = {
        "machine": names.machines[row.machine],
        "title": names.title((row.protocol, row.version)),
        "own": names.setups[row.setup].label,
        "other": names.setups[row.other].label,
    }
    if row.difference is None or row.low is None or row.high is None:
        return say(
            "{machine} on {title}: cannot tell {own} from {other}, as {why}.",
            why=why_words(row.why),
            **values,
        )
    if row.relation in {"better", "worse"}:
        return _told_apart(row, _told(row, names), values)
    difference = _signed(row, names)
    if row.relation == "level":
        return say(
            "{machine} on {title}: {own} and {other} are level; the difference is {difference}, "
            "all of it less than matters.",
            difference=difference,
            **values,
        )
    return say(
        "{machine} on {title}: cannot tell {own} from {other}; the difference is {difference}.",
        difference=difference,
        **values,
    )


def _told_apart(row: SetupDeltaRow, difference: str, values: Mapping[str, str]) -> str:
    values = {**values, "difference": difference}
    if row.relation == "better" and row.by_less_than_matters:
        return say(
            "{machine} on {title}: {own} is better than {other}, by {difference}, less than "
            "matters.",
            **values,
        )
    if row.relation == "better":
        return say("{machine} on {title}: {own} is better than {other}, by {difference}.", **values)
    if row.by_less_than_matters:
        return say(
            "{machine} on {title}: {own} is worse than {other}, by {difference}, less than "
            "matters.",
            **values,
        )
    return say("{machine} on {title}: {own} is worse than {other}, by {difference}.", **values)


def setup_pair(rows: Sequence[SetupDeltaRow], names: Names) -> str:
    """One pair over all its series: better here, worse there, and where that cannot be told."""
    first = rows[0]
    pair = say(
        "{machine}, {own} against {other}: {results}.",
        machine=names.machines[first.machine],
        own=names.setups[first.setup].label,
        other=names.setups[first.other].label,
        results="; ".join(_results(rows, names)),
    )
    return f"{pair}{_differs(first)}"


def _results(rows: Sequence[SetupDeltaRow], names: Names) -> Iterator[str]:
    def titles(relation: str) -> list[str]:
        return [
            names.title((row.protocol, row.version)) for row in rows if row.relation == relation
        ]

    for row in rows:
        if row.relation == "better":
            yield say("better on {title}, by {difference}", **_apart(row, names))
    for row in rows:
        if row.relation == "worse":
            yield say("worse on {title}, by {difference}", **_apart(row, names))
    if level := titles("level"):
        yield say("level on {titles}", titles=listing(level))
    if untold := titles("cannot tell"):
        yield say("cannot tell on {titles}", titles=listing(untold))


def _apart(row: SetupDeltaRow, names: Names) -> Mapping[str, str]:
    title = names.title((row.protocol, row.version))
    return {"title": title, "difference": _told(row, names)}


def differing_parts(row: SetupDeltaRow) -> list[str]:
    """What two set-ups of a machine differ in."""
    return [term("differs", column) for column in codes(row.differs)]


def _differs(row: SetupDeltaRow) -> str:
    parts = differing_parts(row)
    return " " + say("They differ in {parts}.", parts=listing(parts)) if parts else ""


def _told(row: SetupDeltaRow, names: Names) -> str:
    """A told difference as a size, in the direction of the verdict."""
    if row.difference is None or row.low is None or row.high is None:
        raise ValueError(row)
    ends = sorted((abs(row.low), abs(row.high)))
    size = number(abs(row.difference), row.decimals)
    amount = with_unit(size, difference_unit(row.unit))
    return f"{amount} ({_basis(row, interval(ends[0], ends[1], row.decimals), names)})"


def _signed(row: SetupDeltaRow, names: Names) -> str:
    if row.difference is None or row.low is None or row.high is None:
        raise ValueError(row)
    difference = with_unit(signed(row.difference, row.decimals), difference_unit(row.unit))
    return f"{difference} ({_basis(row, interval(row.low, row.high, row.decimals), names)})"


def _basis(row: SetupDeltaRow, ends: str, names: Names) -> str:
    return say(
        "{confidence} interval {ends}, {own_runs} and {runs}",
        confidence=percent(names.confidence),
        ends=ends,
        own_runs=row.n,
        runs=count(row.other_n or 0, "run", "runs"),
    )
