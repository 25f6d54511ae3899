"""Sentences on set-ups of one machine against each other.

In:  rows of ``setup_deltas``.
Out: one sentence a pair and series, and one a pair over all its series.
"""

from __future__ import annotations

from collections.abc import Sequence

from trialpress.analyses.records import SetupDeltaRow
from trialpress.sentences.names import Names
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

LESS_THAN_MATTERS = ", less than matters"


def setup_delta(row: SetupDeltaRow, names: Names) -> str:
    """One pair on one series: who is better, by how much, how sure, on how many runs."""
    title = names.title((row.protocol, row.version))
    own, other = names.setups[row.setup].label, names.setups[row.other].label
    start = f"{names.machines[row.machine]} on {title}:"
    if row.difference is None or row.low is None or row.high is None:
        return f"{start} cannot tell {own} from {other}, as {row.why}."
    if row.relation in {"better", "worse"}:
        small = LESS_THAN_MATTERS if row.by_less_than_matters else ""
        return f"{start} {own} is {row.relation} than {other}, by {_told(row, names)}{small}."
    where = f"the difference is {_signed(row, names)}"
    if row.relation == "level":
        return f"{start} {own} and {other} are level; {where}, all of it less than matters."
    return f"{start} cannot tell {own} from {other}; {where}."


def setup_pair(rows: Sequence[SetupDeltaRow], names: Names) -> str:
    """One pair over all its series: better here, worse there, and where that cannot be told."""
    first = rows[0]
    own, other = names.setups[first.setup].label, names.setups[first.other].label
    start = f"{names.machines[first.machine]}, {own} against {other}: "
    parts = [
        f"{row.relation} on {names.title((row.protocol, row.version))}, by {_told(row, names)}"
        for relation in ("better", "worse")
        for row in rows
        if row.relation == relation
    ]
    for relation in ("level", "cannot tell"):
        titles = [
            names.title((row.protocol, row.version)) for row in rows if row.relation == relation
        ]
        if titles:
            parts.append(f"{relation} on {listing(titles)}")
    return f"{start}{'; '.join(parts)}.{_differs(first)}"


def _differs(row: SetupDeltaRow) -> str:
    columns = row.differs.split()
    return f" They differ in {listing(columns)}." if columns else ""


def _told(row: SetupDeltaRow, names: Names) -> str:
    """A told difference as a size, in the direction of the verdict."""
    if row.difference is None or row.low is None or row.high is None:
        raise ValueError(row)
    ends = sorted((abs(row.low), abs(row.high)))
    size = number(abs(row.difference), row.decimals)
    told = with_unit(size, difference_unit(row.unit))
    return f"{told} ({_basis(row, interval(ends[0], ends[1], row.decimals), names)})"


def _signed(row: SetupDeltaRow, names: Names) -> str:
    if row.difference is None or row.low is None or row.high is None:
        raise ValueError(row)
    told = with_unit(signed(row.difference, row.decimals), difference_unit(row.unit))
    return f"{told} ({_basis(row, interval(row.low, row.high, row.decimals), names)})"


def _basis(row: SetupDeltaRow, ends: str, names: Names) -> str:
    runs = f"{row.n} and {count(row.other_n or 0, 'run', 'runs')}"
    return f"{percent(names.confidence)} interval {ends}, {runs}"
