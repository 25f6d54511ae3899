"""``plan``.

In:  a bench, today, what is asked, and the names of sheets.
Out: what is missing or worth running; with ``--sheet`` day folders and pages to print.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.bench import Bench
from trialpress.cli.application import (
    AsOfOption,
    BenchOption,
    JsonOption,
    QuietOption,
    app,
    bench_at,
    date_of,
)
from trialpress.cli.completing import complete_protocol, complete_setup
from trialpress.cli.output import echo, echo_json, faults_reported, progress
from trialpress.errors import UsageError
from trialpress.intake import read_bench

if TYPE_CHECKING:
    from trialpress.desk.plan import Plan, PlanQuestion


class QuestionError(UsageError):
    """Options that do not go together."""


@app.command(
    epilog="Example: trialpress plan --settle deep-rug --top 5 --sheet 2026-03-02-hall --seed 7"
)
def plan(  # noqa: PLR0913, PLR0917  one parameter an option
    settle: Annotated[
        str | None,
        typer.Option(
            metavar="PROTOCOL",
            help="Which runs would settle who is in the cut.",
            autocompletion=complete_protocol,
        ),
    ] = None,
    separate: Annotated[
        tuple[str, str] | None,
        typer.Option(
            metavar="SETUP SETUP",
            help="How many runs would tell two set-ups apart.",
            autocompletion=complete_setup,
        ),
    ] = None,
    protocol: Annotated[
        str | None,
        typer.Option(
            metavar="PROTOCOL", help="The protocol asked about.", autocompletion=complete_protocol
        ),
    ] = None,
    top: Annotated[
        int | None, typer.Option(min=1, help="Places in the cut; else top_n of bench.toml.")
    ] = None,
    runs: Annotated[
        int | None, typer.Option(min=1, help="Runs to give out; else 6, or all that are missing.")
    ] = None,
    evenings: Annotated[
        int | None,
        typer.Option(min=1, help="Over how many evenings; else as many as suit, or sheets."),
    ] = None,
    hours: Annotated[
        float | None,
        typer.Option(min=0.25, help="As many runs as fit into an evening of so many hours."),
    ] = None,
    sheet: Annotated[
        list[str] | None,
        typer.Option(
            metavar="DATE-WORD",
            help="Write the runs as planned rows of a new day; once for each evening.",
        ),
    ] = None,
    seed: Annotated[int, typer.Option(min=0, help="Of the order; the same gives the same.")] = 1,
    bench: BenchOption = Path(),
    as_of: AsOfOption = None,
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Tell which runs are missing or worth making; write a run sheet.

    Set-ups under embargo are planned for too, unless --as-of asks what others may see then. A sheet
    holds its runs floor by floor in a shuffled order, the reference first and last, as
    planned rows, and as a page to print in build/sheets/.
    """
    from trialpress.desk.plan import make_plan  # noqa: PLC0415  imports slowly
    from trialpress.desk.sheet import check_free  # noqa: PLC0415

    folder = bench_at(bench)
    for day in sheet or ():
        check_free(folder, day)
    question = _question(settle, separate, protocol, top, runs)
    question = replace(question, evenings=_evenings(evenings, sheet or ()), hours=hours)
    with faults_reported(as_json=as_json), progress(quiet=quiet or as_json) as say:
        say("working out what is missing")
        asked = replace(question, beyond_embargo=as_of is None)
        answer = make_plan(folder, date_of(as_of), asked)
        pages = _write(folder, answer, sheet or (), seed)
    if as_json:
        echo_json(_as_json(answer, pages))
    elif not quiet:
        _tell(answer, question)
        for words in answer.due:
            echo(words)
        _tell_next(answer, pages)


def _question(
    settle: str | None,
    separate: tuple[str, str] | None,
    protocol: str | None,
    top: int | None,
    runs: int | None,
) -> PlanQuestion:
    from trialpress.desk.plan import PlanQuestion  # noqa: PLC0415

    if settle is not None and separate is not None:
        raise QuestionError("Ask either --settle or --separate, not both.")
    if separate is not None and protocol is None:
        raise QuestionError("--separate needs the protocol: add --protocol PROTOCOL.")
    if top is not None and settle is None:
        raise QuestionError("--top belongs to --settle PROTOCOL.")
    return PlanQuestion(settle or protocol, settle is not None, separate, top, runs)


def _evenings(evenings: int | None, sheets: Sequence[str]) -> int | None:
    """The evenings asked for, which are as many as sheets where there are some."""
    if sheets and evenings not in {None, len(sheets)}:
        raise QuestionError(
            f"{evenings} evenings need as many sheets, and {len(sheets)} are named: give --sheet "
            "once for each evening."
        )
    return len(sheets) or evenings


def _tell(answer: Plan, question: PlanQuestion) -> None:
    for reason in answer.suggestion.reasons:
        echo(reason)
    is_chosen = question.settle or question.separate is not None or question.hours is not None
    if is_chosen:
        for wanted in answer.suggestion.wanted:
            noun = "run" if wanted.runs == 1 else "runs"
            under = "" if question.protocol else f" under {wanted.tally.protocol}"
            echo(f"  {wanted.tally.setup}: {wanted.runs} {noun}{under}{_over(answer.evenings)}")
        if answer.suggestion.wanted:
            echo(answer.duration.text)
        return
    if not answer.tallies:
        echo("There is nothing to run: add set-ups to data/catalogue/setups.csv.")
        echo("If there are some, look in protocols.csv for one that is in force today.")
    elif not answer.missing:
        echo("No run is missing.")
    _tell_missing(answer)


def _over(evenings: int) -> str:
    return f" over {evenings} evenings" if evenings > 1 else ""


def _tell_missing(answer: Plan) -> None:
    for (title, version), series in groupby(
        answer.missing, key=lambda shortfall: (shortfall.tally.title, shortfall.tally.version)
    ):
        members = list(series)
        echo(f"{title} ({members[0].tally.protocol}, version {version})")
        for shortfall in members:
            echo(f"  {shortfall.text}")
    if answer.suggestion.wanted:
        echo(answer.duration.text)


def _tell_next(answer: Plan, pages: Sequence[Path]) -> None:
    for page in pages:
        echo(f"Written: data/days/{page.stem}/, and to print {page}")
    if pages:
        echo("Type the readings there, or run: trialpress preview")
    elif answer.suggestion.wanted and answer.evenings > 1:
        echo("To write these runs on sheets, add --sheet DATE-WORD once for each evening.")
    elif answer.suggestion.wanted:
        echo("To write these runs on a sheet, add --sheet DATE-WORD.")


def _write(bench: Bench, answer: Plan, days: Sequence[str], seed: int) -> list[Path]:
    """A sheet for each evening, all at once: what a plan holds is fixed before its first run."""
    from trialpress.desk.plan import in_bench_order, over_evenings  # noqa: PLC0415
    from trialpress.desk.sheet import make_sheet, write_sheet, write_sheet_page  # noqa: PLC0415

    if not days:
        return []
    methods = read_bench(bench, None).methods
    shares = over_evenings(answer.suggestion.wanted, len(days)) or ((),)
    if len(shares) < len(days):
        evenings = "evening" if len(shares) == 1 else "evenings"
        raise QuestionError(
            f"The runs of this plan fill {len(shares)} {evenings}, and {len(days)} sheets are "
            "named: name fewer, or plan more runs."
        )
    pages = []
    for number, (day, share) in enumerate(zip(days, shares, strict=False)):
        order = in_bench_order(share, answer.tallies, seed + number)
        evening = f", evening {number + 1} of {len(days)}" if len(days) > 1 else ""
        planned = make_sheet(day, order, f"{answer.suggestion.note}{evening}, seed {seed + number}")
        write_sheet(bench, planned)
        pages.append(write_sheet_page(bench, planned, methods))
    return pages


def _as_json(answer: Plan, pages: Sequence[Path]) -> dict[str, object]:
    sheets = [{"day": page.stem, "page": str(page)} for page in pages]
    return {
        "sheet": sheets[0] if sheets else None,
        "sheets": sheets,
        "evenings": answer.evenings,
        "missing": [
            {
                "setup": shortfall.tally.setup,
                "protocol": shortfall.tally.protocol,
                "version": shortfall.tally.version,
                "runs": shortfall.runs,
                "reason": shortfall.reason.value,
            }
            for shortfall in answer.missing
        ],
        "suggested": [
            {"setup": want.tally.setup, "protocol": want.tally.protocol, "runs": want.runs}
            for want in answer.suggestion.wanted
        ],
        "reasons": list(answer.suggestion.reasons),
        "due": list(answer.due),
        "runs": answer.duration.runs,
        "timed_runs": answer.duration.timed,
        "minutes": round(answer.duration.minutes, 1) if answer.duration.timed else None,
    }
