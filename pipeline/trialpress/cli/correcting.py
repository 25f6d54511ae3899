"""``correct``.

In:  a cell, what it should say, and why; today.
Out: the correction written, with everything that it changes shown.
"""

from __future__ import annotations

from dataclasses import asdict
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.cli.application import BenchOption, JsonOption, QuietOption, app, bench_at, date_of
from trialpress.cli.completing import complete_column, complete_row, complete_table
from trialpress.cli.output import echo, echo_json, progress
from trialpress.errors import UsageError

if TYPE_CHECKING:
    from trialpress.desk.correct import ProposedCorrection

NOTHING = "(blank)"


class AlsoOptionError(UsageError):
    """``--also`` is not COLUMN=NEW."""

    def __init__(self, text: str) -> None:
        super().__init__(f"--also {text} says no column and value. Write --also COLUMN=NEW.")


@app.command(
    epilog="Example: trialpress correct weighings hall-07 after_g 489.62 "
    '--why "Two digits were swapped."'
)
def correct(  # noqa: PLR0913, PLR0917  one parameter an option
    table: Annotated[
        str, typer.Argument(help="A table, such as weighings.", autocompletion=complete_table)
    ],
    row: Annotated[
        str,
        typer.Argument(
            help="The row's key; several columns joined by |.", autocompletion=complete_row
        ),
    ],
    column: Annotated[
        str, typer.Argument(help="The column that is wrong.", autocompletion=complete_column)
    ],
    new: Annotated[str, typer.Argument(help='What it should say; "" for blank.')],
    why: Annotated[str, typer.Option("--why", help="Why, in words for readers.")],
    also: Annotated[
        list[str] | None,
        typer.Option("--also", metavar="COLUMN=NEW", help="Another cell of the same row."),
    ] = None,
    dry_run: Annotated[  # noqa: FBT002
        bool, typer.Option("--dry-run", help="Show everything, write nothing.")
    ] = False,
    everything: Annotated[  # noqa: FBT002
        bool, typer.Option("--all", help="Show every figure that changes, not the gist alone.")
    ] = False,
    bench: BenchOption = Path(),
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Correct one row in the open; the row as typed stays.

    A line in data/corrections.csv says what it was, what it is now, and why. Shows the value
    before and after, and every place and number that changes with it.
    """
    from trialpress.desk.correct import (  # noqa: PLC0415  imports slowly
        CorrectionRequest,
        propose,
        write_correction,
    )
    from trialpress.lock import locked  # noqa: PLC0415  slow

    folder = bench_at(bench)
    cells = ((column, new or None), *(_also(text) for text in also or ()))
    request = CorrectionRequest(table, row, cells, why, date_of(None))
    with locked(folder), progress(quiet=quiet or as_json) as say:
        say("working out every figure, before and after")
        proposal = propose(folder, request)
        if not dry_run:
            write_correction(folder, proposal)
    if as_json:
        echo_json(_as_json(proposal))
    elif not quiet:
        _tell(proposal, everything=everything)
        _tell_end(proposal, dry_run=dry_run)


def _also(text: str) -> tuple[str, str | None]:
    column, sign, value = text.partition("=")
    if not sign or not column:
        raise AlsoOptionError(text)
    return (column, value or None)


def _as_json(proposal: ProposedCorrection) -> dict[str, object]:
    findings = [finding.as_json() for finding in proposal.findings]
    fields = {**asdict(proposal), "findings": findings}
    return {"gist" if name == "summary" else name: value for name, value in fields.items()}


def _tell(proposal: ProposedCorrection, *, everything: bool) -> None:
    for change in proposal.changes:
        echo(f"{change.where}: {change.was or NOTHING} becomes {change.now or NOTHING}")
    for sentence in proposal.summary:
        echo(sentence)
    if proposal.effects and not everything:
        figures = "figure changes" if len(proposal.effects) == 1 else "figures change"
        echo(f"{len(proposal.effects)} {figures} in all; see each with --all.")
    shown = proposal.effects if everything and proposal.effects else ()
    for (table, row), effects in groupby(shown, key=lambda effect: (effect.table, effect.row)):
        echo(f"{table} {row}")
        for effect in effects:
            before, after = effect.before or NOTHING, effect.after or NOTHING
            echo(f"  {effect.column}: {before} -> {after}")


def _tell_end(proposal: ProposedCorrection, *, dry_run: bool) -> None:
    for finding in proposal.findings:
        echo(f"{finding.severity.value}: {finding.text}")
    if dry_run:
        echo("Nothing was written. Leave out --dry-run to write it.")
    else:
        echo(f"Written to data/corrections.csv as {proposal.correction}.")
        echo("See it on the pages with: trialpress build")
