"""Sentences on the first N of any set-ups.

In:  rows of ``trialpress.analyses.top_cut``.
Out: the cut in one sentence, one on who could swap for each set-up inside, and one for any set-up
     of interest, wherever it stands. ``PHRASES`` are what a page's script says the same with.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby

from trialpress.analyses import CutRow
from trialpress.view.names import Names, SeriesKey
from trialpress.words import message, say, say_count
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
    "each": message("{names} could each swap with {who}."),
    "inside": message("inside"),
    "outside": message("outside"),
}
MOST_NAMED = 5
"""So many of those who could take a place are named; of more than that the rest is counted."""


def top_cut(rows: Sequence[CutRow], first: int, key: SeriesKey, decimals: int, names: Names) -> str:
    """Who is inside, where the cut lies, who is just outside and by how much."""
    title, unit = names.title(key), names.series[key].unit
    if not rows:
        return _say("none", title=title)
    entries = [
        _say("entry", name=_name(row, names), mean=number(row.mean, decimals))
        for row in rows
        if row.is_inside
    ]
    start = _say(
        "top",
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
    return _say("next", name=_name(row, names), gap=gap, swap=_swap(row))


def swaps(rows: Sequence[CutRow], names: Names) -> list[str]:
    """Who could take the place of the set-ups inside that could be outside.

    Set-ups one after the other that the same ones could replace share a sentence.
    """
    inside = [row for row in rows if row.is_inside and row.could_swap]
    return [
        _swaps([_name(row, names) for row in same], [names.setups[one].full for one in others])
        for others, same in groupby(inside, key=lambda row: row.could_swap)
    ]


def _swaps(inside: Sequence[str], others: Sequence[str]) -> str:
    named = [*others] if len(others) <= MOST_NAMED else [*others[: MOST_NAMED - 1]]
    more = len(others) - len(named)
    who = listing([*named, *([say_count("{count} more", "{count} more", more)] if more else [])])
    if len(inside) == 1:
        return _say("swaps", name=inside[0], who=who)
    return _say("each", names=listing(inside), who=who)


def in_cut(row: CutRow, of: int, key: SeriesKey, decimals: int, names: Names) -> str:
    """One set-up against the cut."""
    unit = difference_unit(names.series[key].unit)
    gap = with_unit(number(abs(row.gap_to_cut), decimals), unit)
    way = "level" if not row.gap_to_cut else "ahead" if row.is_inside else "short"
    return _say(
        "own",
        name=_name(row, names),
        title=names.title(key),
        place=row.place,
        of=of,
        side=_say("inside" if row.is_inside else "outside"),
        far=_say(way, gap=gap),
        swap=_swap(row),
    )


def _swap(row: CutRow) -> str:
    """What the runs leave open about the side it is on."""
    if row.top in {"certain", "out"}:
        return _say(row.top)
    if not row.could_swap:
        return _say("untold")
    return _say(
        "swap",
        others=count(len(row.could_swap), "set-up", "set-ups"),
        side=_say("outside" if row.is_inside else "inside"),
    )


def _say(phrase: str, **values: object) -> str:
    """One of the phrases; their keys are no texts, so they may not stand where texts are said."""
    return say(PHRASES[phrase], **values)


def _name(row: CutRow, names: Names) -> str:
    return names.setups[row.setup].full
