"""What a correction changes of the public figures: each of them, and in a few plain sentences.

In:  two benches and a date.
Out: every figure that is not the same, before and after; sentences: the means and places that move,
     then how many intervals and other figures do.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from trialpress.bench import Bench
from trialpress.desk.measured import measured_store
from trialpress.intake import read_bench
from trialpress.results import work_out
from trialpress.store import Store
from trialpress.words import figures

KEYS: Mapping[str, tuple[str, ...]] = {
    "run_results": ("run",),
    "cells": ("protocol", "version", "setup"),
    "standings": ("protocol", "version", "setup"),
    "overall": ("scope", "setup"),
    "top_cuts": ("protocol", "version", "setup"),
    "maker_overview": ("protocol", "version", "maker"),
    "machines": ("machine",),
    "makers": ("maker",),
    "setups": ("setup",),
    "floors": ("floor",),
    "soils": ("soil",),
    "instruments": ("instrument",),
    "protocols": ("protocol", "version"),
    "claims": ("claim",),
}
NOT_COMPARED = frozenset(
    {"source_file", "source_row", "row_key", "file", "row", "position", "decimals"}
)

Row = Mapping[str, str]
Figures = Mapping[tuple[str, str], Row]
"""The cells of every public row by table and key, as text; blank cells are left out."""
_MOST_NAMED = 3


@dataclass(frozen=True)
class FigureChange:
    """One public figure that changes; None where there is no figure on that side."""

    table: str
    row: str
    column: str
    before: str | None
    after: str | None


def read_figures(bench: Bench, as_of: date) -> Figures:
    """Work out every public figure of a bench, in memory.

    Raises
    ------
    FaultyBenchError
        If the data have faults.
    """
    read: dict[tuple[str, str], Mapping[str, str]] = {}
    with measured_store(read_bench(bench, as_of), as_of) as store:
        work_out(store)
        for table, key in KEYS.items():
            read |= _figures(store, table, key)
    return read


def _figures(
    store: Store, table: str, key: tuple[str, ...]
) -> dict[tuple[str, str], Mapping[str, str]]:
    """The rows of one table by table and key, every cell as text; blank cells are left out."""
    order = ", ".join(f'"{name}"' for name in key)
    found = store.connection.execute(f'from "{table}" order by {order}')
    names = [column[0] for column in found.description or []]
    left_out = NOT_COMPARED.union(key)
    return {
        (table, " ".join(str(row[name]) for name in key)): {
            name: _text(cell)
            for name, cell in row.items()
            if name not in left_out and cell is not None
        }
        for cells in found.fetchall()
        for row in [dict(zip(names, cells, strict=True))]
    }


def _text(value: object) -> str:
    return f"{value:.12g}" if isinstance(value, float) else str(value)


def effects_between(before: Figures, after: Figures) -> tuple[FigureChange, ...]:
    """Every figure that differs, in the order of the tables, then of their rows."""
    places = list(dict.fromkeys([*before, *after]))
    return tuple(
        FigureChange(table, row, column, old.get(column), new.get(column))
        for table, row in sorted(places, key=lambda place: (list(KEYS).index(place[0]), place[1]))
        for old in [before.get((table, row), {})]
        for new in [after.get((table, row), {})]
        for column in dict.fromkeys([*old, *new])
        if old.get(column) != new.get(column)
    )


def summary_of(before: Figures, after: Figures) -> tuple[str, ...]:
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
    rest = [standing for standing in standings if standing not in moved]
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
    counts = {"narrower": narrower, "wider": wider, "moved": len(changes) - narrower - wider}
    parts = [f"{count} {word}" for word, count in counts.items() if count]
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
