"""Sentences on the first N of any set-ups.

In:  rows of ``trialpress.analyses.top_cut``.
Out: the cut in one sentence, and one for any set-up of interest, wherever it stands.
"""

from __future__ import annotations

from collections.abc import Sequence

from trialpress.analyses import CutRow
from trialpress.sentences.names import Names, SeriesKey
from trialpress.sentences.numbers import count, difference_unit, listing, number, with_unit


def top_cut(rows: Sequence[CutRow], first: int, key: SeriesKey, decimals: int, names: Names) -> str:
    """Who is inside, where the cut lies, who is just outside and by how much."""
    title, unit = names.title(key), names.series[key].unit
    if not rows:
        return f"On {title} there is none to cut."
    inside = [row for row in rows if row.is_inside]
    who = listing([f"{_name(row, names)} at {number(row.mean, decimals)}" for row in inside])
    cut_value = with_unit(number(rows[0].cut_value, decimals), unit)
    tried = count(len(rows), "set-up")
    start = f"Top {first} of {tried} on {title}: {who}; the cut is at {cut_value}."
    outside = [row for row in rows if not row.is_inside]
    return f"{start} {_next(outside[0], unit, decimals, names)}" if outside else start


def _next(row: CutRow, unit: str, decimals: int, names: Names) -> str:
    gap = with_unit(number(row.gap_to_cut, decimals), difference_unit(unit))
    return f"Just outside is {_name(row, names)}, {gap} short; {_swap(row)}."


def in_cut(row: CutRow, of: int, key: SeriesKey, decimals: int, names: Names) -> str:
    """One set-up against the cut."""
    unit = difference_unit(names.series[key].unit)
    gap = with_unit(number(abs(row.gap_to_cut), decimals), unit)
    side = "inside the cut" if row.is_inside else "outside the cut"
    way = "ahead of it" if row.is_inside else "short of it"
    far = f"{side}, {gap} {way}" if row.gap_to_cut else f"{side}, on its value"
    start = f"{_name(row, names)} on {names.title(key)}"
    return f"{start}: place {row.place} of {of}, {far}; {_swap(row)}."


def _swap(row: CutRow) -> str:
    """What the runs leave open about the side it is on."""
    if row.top == "certain":
        return "the runs leave no doubt that it belongs inside"
    if row.top == "out":
        return "the runs leave no doubt that it belongs outside"
    side = "outside" if row.is_inside else "inside"
    others = count(len(row.could_swap), "set-up")
    if not row.could_swap:
        return "cannot tell which side it belongs on"
    return f"it cannot be told from {others} {side}"


def _name(row: CutRow, names: Names) -> str:
    return names.setups[row.setup].full
