"""``add``.

In:  a table; what its row says, as arguments or asked one by one; today.
Out: one row more in the catalogue, or the last one taken back.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.cli.application import BenchOption, JsonOption, QuietOption, app, bench_at, date_of
from trialpress.cli.completing import complete_assignment, complete_entered, complete_pattern
from trialpress.cli.output import echo, echo_json
from trialpress.errors import UsageError
from trialpress.intake.nearest import meant

if TYPE_CHECKING:
    from trialpress.bench import Bench
    from trialpress.cli.asking import Answers
    from trialpress.desk.catalogue.keeping import EntryVerdict, Kept


class EnteredTableError(UsageError):
    """There is no such table to add to."""

    def __init__(self, table: str, known: tuple[str, ...]) -> None:
        given = f"There is no table {table} to add to. {meant(table, known)}" if table else ""
        super().__init__(
            f"{given}Name one of: {', '.join(known)}. Runs are typed in the bench sheet: "
            "trialpress preview."
        )


class AssignmentError(UsageError):
    """An argument is not COLUMN=VALUE."""

    def __init__(self, text: str, table: str, known: tuple[str, ...]) -> None:
        column, sign, _ = text.partition("=")
        problem = (
            f"{table}.csv has no column {column}. {meant(column, known)}"
            if sign
            else f"{text} says no column and value. Write COLUMN=VALUE. "
        )
        super().__init__(f"{problem}Its columns are: {', '.join(known)}. Nothing was written.")


@app.command(
    epilog="Example: trialpress add protocols --like rug title='Sand in a rug' floor=rug-1"
)
def add(  # noqa: PLR0913, PLR0917  one parameter an option
    table: Annotated[
        str,
        typer.Argument(
            help="makers, machines, setups, floors, soils, instruments, protocols, claims, films "
            "or film_marks.",
            autocompletion=complete_entered,
        ),
    ] = "",
    cells: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="COLUMN=VALUE",
            help="What the row says; without any, each column is asked.",
            autocompletion=complete_assignment,
        ),
    ] = None,
    like: Annotated[
        str | None,
        typer.Option(
            "--like",
            metavar="NAME",
            help="Begin with what a row of that name says; of protocols also a kind of trial: "
            "rug, hard-floor, gaps, hair, stain, noise, run-time.",
            autocompletion=complete_pattern,
        ),
    ] = None,
    undo: Annotated[  # noqa: FBT002
        bool, typer.Option("--undo", help="Take back the row that was added or changed last.")
    ] = False,
    dry_run: Annotated[  # noqa: FBT002
        bool, typer.Option("--dry-run", help="Show everything, write nothing.")
    ] = False,
    bench: BenchOption = Path(),
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Add a maker, a machine, a set-up, a protocol: one row of the catalogue, and no CSV to type.

    Asks each column with what it means, the words it can hold and what is there to refer to. A name
    is proposed, and stays once the row has it. Every answer is judged as check would. The row
    goes to the end of its file, every other byte of which stays.
    """
    from trialpress.desk.catalogue import keeping  # noqa: PLC0415  slow

    folder = bench_at(bench)
    if undo:
        what = keeping.undo(folder)
        echo(json.dumps({"undone": what}, ensure_ascii=False) if as_json else f"Undone: {what}.")
        return
    answers = _answers(folder, table, cells or [], like)
    entry = answers.entry
    if dry_run:
        verdict = keeping.judge(folder, entry)
        if not verdict.may_be_kept:
            raise keeping.EntryRefusedError(entry, verdict.errors)
        _tell(answers, verdict, None, as_json=as_json, quiet=quiet)
        return
    kept = keeping.keep(folder, entry)
    _tell(answers, kept, kept, as_json=as_json, quiet=quiet)


def _answers(bench: Bench, table: str, cells: list[str], like: str | None) -> Answers:
    from trialpress.cli import asking  # noqa: PLC0415  slow
    from trialpress.desk.catalogue import ENTERED  # noqa: PLC0415

    if table not in ENTERED:
        raise EnteredTableError(table, ENTERED)
    begun = asking.begin(bench, table, like, date_of(None))
    if not cells:
        return asking.asked(begun)
    known = tuple(column.name for column in begun.offer.columns)
    pairs = [cell.partition("=") for cell in cells]
    for (column, sign, _), text in zip(pairs, cells, strict=True):
        if not sign or column not in known:
            raise AssignmentError(text, table, known)
    return asking.given(begun, {column: value for column, _, value in pairs})


def _tell(
    answers: Answers, verdict: EntryVerdict | Kept, kept: Kept | None, *, as_json: bool, quiet: bool
) -> None:
    if as_json:
        answer = {
            "table": answers.entry.table,
            "cells": answers.entry.cells,
            "file": kept.file if kept else None,
            "row": kept.row if kept else None,
            "was_new": kept.is_new if kept else False,
            "findings": [finding.as_json() for finding in verdict.findings],
        }
        echo_json(answer)
        return
    for finding in () if answers.were_seen else verdict.findings:
        echo(f"{finding.severity.value}: {finding.text}")
    if quiet:
        return
    for column, text in answers.entry.cells.items():
        echo(f"  {column}: {text}{answers.mark(column)}")
    if kept is None:
        echo("Nothing was written. Leave out --dry-run to write it.")
    elif not kept.is_new:
        echo(f"{kept.file}, row {kept.row}, says all of this already. Nothing was written.")
    else:
        echo(f"Written to {kept.file}, row {kept.row}. Take it back with: trialpress add --undo")
        for name in answers.method_name:
            echo(f"How a run is made stands in {name}: change it until it says what you do.")
