"""Rules for films: what their marks show is there, one thing each, in the order of the film.

In:  ``film_marks.csv`` as typed, and the tables it refers to.
Out: findings. That set-up and film are there is said by the table's schema.

A mark shows a run, whose name is of one of four tables, or a protocol in all its versions: neither
is the key of one table, which is all that a schema can refer to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from trialpress.bench import READING_TABLES
from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.nearest import nearest
from trialpress.intake.rows import Row, Tables

_SHOWN = ("run", "setup", "protocol")


Names = Mapping[str, frozenset[str] | None]
"""What a mark can name, by its column; None where some of it may be hidden by a fault."""


def check_marks(tables: Tables, unsure: frozenset[str]) -> Iterator[Finding]:
    """Check the marks of all films."""
    known: Names = {
        "run": _names("run", tables, READING_TABLES, unsure),
        "protocol": _names("protocol", tables, ("protocols",), unsure),
    }
    last: dict[str | None, Row] = {}
    for mark in tables["film_marks"]:
        yield from _check_shown(mark, known)
        earlier = last.get(mark.cells["film"])
        if earlier is not None and earlier.key != mark.key:
            yield from _check_order(mark, earlier)
        if _seconds(mark) is not None:
            last[mark.cells["film"]] = mark


def _names(
    column: str, tables: Tables, of: tuple[str, ...], unsure: frozenset[str]
) -> frozenset[str] | None:
    if unsure.intersection(of):
        return None
    return frozenset(row.cells[column] or "" for table in of for row in tables[table])


def _check_order(mark: Row, earlier: Row) -> Iterator[Finding]:
    at, before = _seconds(mark), _seconds(earlier)
    if at is None or before is None or at > before:
        return
    place = mark.place("at")
    where = earlier.place().seen_from(place)
    at_before = earlier.cells["at"]
    yield found(FindingCode.MARK_ORDER, place, mark.cells["at"], earlier=at_before, where=where)


def _check_shown(mark: Row, known: Names) -> Iterator[Finding]:
    shown = [column for column in _SHOWN if mark.cells[column] is not None]
    if len(shown) > 1:
        place, also = mark.place(shown[1]), mark.cells[shown[0]]
        yield found(FindingCode.MARK_SHOWS_SEVERAL, place, mark.cells[shown[1]], also=also)
    for column, names in known.items():
        name = mark.cells[column]
        if name is not None and names is not None and name not in names:
            yield _unknown(mark, column, name, names)


def _unknown(mark: Row, column: str, name: str, names: frozenset[str]) -> Finding:
    near = nearest(name, names)
    return found(
        FindingCode.RUN_UNKNOWN if column == "run" else FindingCode.REFERENCE_UNKNOWN,
        mark.place(column),
        name,
        variant="nearest" if near else "",
        nearest=near,
        table="protocols",
        file="protocols.csv in the catalogue",
    )


def _seconds(mark: Row) -> int | None:
    """The time of a mark in its film, in seconds; None of one that is blank or no time."""
    parts = (mark.cells["at"] or "").split(":")
    if len(parts) != len(("h", "mm", "ss")) or not all(part.isdecimal() for part in parts):
        return None
    hours, minutes, seconds = map(int, parts)
    return 3600 * hours + 60 * minutes + seconds
