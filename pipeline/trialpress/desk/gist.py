"""What a correction changes, in a few plain sentences.

In:  every public figure before and after.
Out: sentences: the means and places that move, then how many intervals and other figures do.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from trialpress.desk.effects import Figures
from trialpress.words import figures

Row = Mapping[str, str]
_MOST_NAMED = 3


def gist_of(before: Figures, after: Figures) -> tuple[str, ...]:
    """Sum up what differs between two states of the public figures.

    Returns
    -------
    tuple of str
        At least one sentence; that nothing changes is one too.
    """
    if before == after:
        return ("No public figure changes.",)
    standings = [
        (key, before.get(("standings", key), {}), after.get(("standings", key), {}))
        for key in dict.fromkeys(row for table, row in (*before, *after) if table == "standings")
    ]
    moved = [(key, old, new) for key, old, new in standings if old.get("mean") != new.get("mean")]
    rest = [one for one in standings if one not in moved]
    sentences = [_mean(key, old, new) for key, old, new in moved]
    sentences += [*_places(rest), *_intervals(rest)]
    return tuple(sentences) or ("No mean, place or interval changes; other figures do.",)


def _mean(key: str, old: Row, new: Row) -> str:
    """One set-up whose mean changes, with its place; ``key`` is protocol, version and set-up."""
    protocol, version, setup = key.split(" ")
    name = f"{setup}, {protocol} version {version}"
    if not old:
        result = f"{new['mean']} {new['unit']}, place {new['place']}"
        return f"{name}: {result}; it had no result before."
    if not new:
        return f"{name}: no result any more; it was {old['mean']} {old['unit']}."
    place = f"place {old['place']} stays"
    if old["place"] != new["place"]:
        place = f"place {old['place']} becomes {new['place']}"
    return f"{name}: {old['mean']} → {new['mean']} {new['unit']}, {place}."


def _places(rows: Sequence[tuple[str, Row, Row]]) -> Iterator[str]:
    moves = [
        f"{key.split(' ')[2]} {old['place']} → {new['place']}"
        for key, old, new in rows
        if old.get("place") != new.get("place")
    ]
    if moves:
        named = ", ".join(moves[:_MOST_NAMED])
        more = len(moves) - _MOST_NAMED
        yield f"Other places: {named}{f' and {more} more' if more > 0 else ''}."


def _intervals(rows: Sequence[tuple[str, Row, Row]]) -> Iterator[str]:
    changes = [
        change for _, old, new in rows if (change := _width(new) - _width(old)) or _ends(old, new)
    ]
    if not changes:
        return
    narrower, wider = (sum(sign * change > 0 for change in changes) for sign in (-1, 1))
    said = {"narrower": narrower, "wider": wider, "moved": len(changes) - narrower - wider}
    parts = [f"{count} {word}" for word, count in said.items() if count]
    intervals = figures.count(len(changes), "other interval", "other intervals")
    verb = "is" if len(changes) == 1 else "are"
    if len(parts) == 1:
        yield f"{intervals} {verb} a little {parts[0].split(' ')[1]}."
    else:
        yield f"{intervals} change a little: {', '.join(parts)}."


def _width(row: Row) -> float:
    """Width of an interval; 0 where there is none."""
    return round(float(row["high"]) - float(row["low"]), 9) if "low" in row and "high" in row else 0


def _ends(old: Row, new: Row) -> bool:
    return (old.get("low"), old.get("high")) != (new.get("low"), new.get("high"))
