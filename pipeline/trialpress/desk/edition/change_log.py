"""The change log of an edition, in words.

In:  the changes since the edition before, or none.
Out: one section of ``CHANGES.md``; the sections of earlier editions follow it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from trialpress.desk.edition.changes import Changes, CorrectedValue, Move
from trialpress.editions import Version
from trialpress.words import say

MOST_LINES = 200  # of one kind; what is more is counted


def change_log(version: Version, as_of: date, changes: Changes | None, earlier: str) -> str:
    """The text of ``CHANGES.md``; ``earlier`` is that of the edition before, or blank."""
    heading = f"## {version} ({as_of.isoformat()})"
    lines = [say("The first edition.")] if changes is None else list(_lines(changes))
    section = "\n".join([heading, "", *lines, ""])
    return f"{section}\n{earlier}" if earlier else section


def _lines(changes: Changes) -> Iterator[str]:
    for table in changes.forms:
        yield "- " + say("{table}: columns or their rules changed.", table=table)
    for rule in changes.rules:
        yield "- " + say("The setting {setting} changed.", setting=rule)
    for count in changes.rows:
        yield "- " + say(
            "{table}: rows added {added}, gone {gone}, typed anew {retyped}.",
            table=count.table,
            added=count.added,
            gone=count.gone,
            retyped=count.retyped,
        )
    yield from _capped([_correction(value) for value in changes.corrected])
    yield from _capped([_move(move) for move in changes.moves])
    if changes.results and not changes.moves:
        yield "- " + say("Figures changed in: {tables}.", tables=", ".join(changes.results))


def _correction(value: CorrectedValue) -> str:
    return say(
        "Corrected: {table}, {row}, {column}, from {was} to {now}. {why}",
        table=value.table,
        row=value.row,
        column=value.column,
        was=value.was or say("blank"),
        now=value.now or say("blank"),
        why=value.why,
    )


def _move(move: Move) -> str:
    series = f"{move.protocol} v{move.version}"
    if move.before is None:
        return say(
            "{series}: {setup} is new, place {now}.", series=series, setup=move.setup, now=move.now
        )
    if move.now is None:
        return say("{series}: {setup} has no place any more.", series=series, setup=move.setup)
    return say(
        "{series}: {setup} moved from place {before} to {now}.",
        series=series,
        setup=move.setup,
        before=move.before,
        now=move.now,
    )


def _capped(lines: list[str]) -> Iterator[str]:
    for line in lines[:MOST_LINES]:
        yield f"- {line}"
    if len(lines) > MOST_LINES:
        yield "- " + say("And {more} more.", more=len(lines) - MOST_LINES)
