"""Sentences on the first N of any set-ups.

In:  rows of ``trialpress.analyses.top_cut``.
Out: the cut in one sentence, one on who could swap for each set-up inside, and one for any set-up
     of interest, wherever it stands. ``PHRASES`` are what a page's script says the same with.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from trialpress.analyses import CutRow
from trialpress.view.names import Names, SeriesKey
from trialpress.words import message, say
from trialpress.words.figures import count, difference_unit, listing, number, with_unit

PHRASES: Mapping[str, str] = {
    "none": message("On {title} there is none to cut."),
    "top": message("Top {first} of {tried} on {title}: {who}; the cut is at {cut}."),
    "entry": message("{name} at {mean}"),
    "next": message("Just outside is {name}, {gap} short; {swap}."),
    "own": message("{name} on {title}: place {place} of {of}, {side} the cut, {far}; {swap}."),
    "apart": message("{name} is not among the set-ups shown."),
    "ahead": message("{gap} ahead of it"),
    "short": message("{gap} short of it"),
    "level": message("on its value"),
    "certain": message("the runs tell that it belongs inside"),
    "out": message("the runs tell that it belongs outside"),
    "untold": message("cannot tell which side it belongs on"),
    "swap": message("it cannot be told from {others} {side}"),
    "swaps": message("{name} could swap with {who}."),
    "inside": message("inside"),
    "outside": message("outside"),
}


def top_cut(rows: Sequence[CutRow], first: int, key: SeriesKey, decimals: int, names: Names) -> str:
    """Who is inside, where the cut lies, who is just outside and by how much."""
    title, unit = names.title(key), names.series[key].unit
    if not rows:
        return say(PHRASES["none"], title=title)
    entries = [
        say(PHRASES["entry"], name=_name(row, names), mean=number(row.mean, decimals))
        for row in rows
        if row.is_inside
    ]
    start = say(
        PHRASES["top"],
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
    return say(PHRASES["next"], name=_name(row, names), gap=gap, swap=_swap(row))


def swaps(rows: Sequence[CutRow], names: Names) -> list[str]:
    """For each set-up inside that could be outside, those that could take its place."""
    return [
        say(
            PHRASES["swaps"],
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
    return say(
        PHRASES["own"],
        name=_name(row, names),
        title=names.title(key),
        place=row.place,
        of=of,
        side=say(PHRASES["inside" if row.is_inside else "outside"]),
        far=say(PHRASES[way], gap=gap),
        swap=_swap(row),
    )


def _swap(row: CutRow) -> str:
    """What the runs leave open about the side it is on."""
    if row.top in {"certain", "out"}:
        return say(PHRASES[row.top])
    if not row.could_swap:
        return say(PHRASES["untold"])
    return say(
        PHRASES["swap"],
        others=count(len(row.could_swap), "set-up", "set-ups"),
        side=say(PHRASES["outside" if row.is_inside else "inside"]),
    )


def _name(row: CutRow, names: Names) -> str:
    return names.setups[row.setup].full
