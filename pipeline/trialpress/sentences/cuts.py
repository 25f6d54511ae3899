"""Sentences on the first N of any set-ups.

In:  rows of ``trialpress.analyses.top_cut``.
Out: the cut in one sentence, one on who could swap for each set-up inside, and one for any set-up
     of interest, wherever it stands. ``PHRASES`` are what a page's script says the same with.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from trialpress.analyses import CutRow
from trialpress.sentences.names import Names, SeriesKey
from trialpress.words.figures import count, difference_unit, listing, number, with_unit

PHRASES: Mapping[str, str] = {
    "none": "On {title} there is none to cut.",
    "top": "Top {first} of {tried} on {title}: {who}; the cut is at {cut}.",
    "entry": "{name} at {mean}",
    "next": "Just outside is {name}, {gap} short; {swap}.",
    "own": "{name} on {title}: place {place} of {of}, {side} the cut, {far}; {swap}.",
    "apart": "{name} is not among the set-ups shown.",
    "ahead": "{gap} ahead of it",
    "short": "{gap} short of it",
    "level": "on its value",
    "certain": "the runs leave no doubt that it belongs inside",
    "out": "the runs leave no doubt that it belongs outside",
    "untold": "cannot tell which side it belongs on",
    "swap": "it cannot be told from {others} {side}",
    "swaps": "{name} could swap with {who}.",
    "set_up": "set-up",
    "inside": "inside",
    "outside": "outside",
}


def top_cut(rows: Sequence[CutRow], first: int, key: SeriesKey, decimals: int, names: Names) -> str:
    """Who is inside, where the cut lies, who is just outside and by how much."""
    title, unit = names.title(key), names.series[key].unit
    if not rows:
        return PHRASES["none"].format(title=title)
    entries = [
        PHRASES["entry"].format(name=_name(row, names), mean=number(row.mean, decimals))
        for row in rows
        if row.is_inside
    ]
    start = PHRASES["top"].format(
        first=min(first, len(rows)),
        tried=count(len(rows), "set-up", "set-ups"),
        title=title,
        who=listing(entries),
        cut=with_unit(number(rows[0].cut_value, decimals), unit),
    )
    outside = [row for row in rows if not row.is_inside]
    return f"{start} {_next(outside[0], unit, decimals, names)}" if outside else start


def _next(row: CutRow, unit: str, decimals: int, names: Names) -> str:
    gap = with_unit(number(row.gap_to_cut, decimals), difference_unit(unit))
    return PHRASES["next"].format(name=_name(row, names), gap=gap, swap=_swap(row))


def swaps(rows: Sequence[CutRow], names: Names) -> list[str]:
    """For each set-up inside that could be outside, those that could take its place."""
    return [
        PHRASES["swaps"].format(
            name=_name(row, names),
            who=listing([names.setups[other].full for other in row.could_swap]),
        )
        for row in rows
        if row.is_inside and row.could_swap
    ]


def in_cut(row: CutRow, of: int, key: SeriesKey, decimals: int, names: Names) -> str:
    """One set-up against the cut."""
    unit = difference_unit(names.series[key].unit)
    gap = with_unit(number(abs(row.gap_to_cut), decimals), unit)
    way = "level" if not row.gap_to_cut else "ahead" if row.is_inside else "short"
    return PHRASES["own"].format(
        name=_name(row, names),
        title=names.title(key),
        place=row.place,
        of=of,
        side=PHRASES["inside" if row.is_inside else "outside"],
        far=PHRASES[way].format(gap=gap),
        swap=_swap(row),
    )


def _swap(row: CutRow) -> str:
    """What the runs leave open about the side it is on."""
    if row.top in {"certain", "out"}:
        return PHRASES[row.top]
    if not row.could_swap:
        return PHRASES["untold"]
    return PHRASES["swap"].format(
        others=count(len(row.could_swap), "set-up", "set-ups"),
        side=PHRASES["outside" if row.is_inside else "inside"],
    )


def _name(row: CutRow, names: Names) -> str:
    return names.setups[row.setup].full
