"""``explain``.

In:  the name of a run, or of a set-up and a protocol.
Out: how the figure came about: tables on a terminal, plain text in a pipe.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich import box
from rich.console import Console
from rich.table import Table

from trialpress.cli.application import (
    AsOfOption,
    BenchOption,
    JsonOption,
    QuietOption,
    app,
    bench_at,
    date_of,
)
from trialpress.cli.completing import complete_protocol, complete_run_or_setup
from trialpress.cli.output import SafeConsole, echo_json, faults_reported, progress
from trialpress.intake import FindingCode

if TYPE_CHECKING:
    from trialpress.explain import CellExplanation, RunExplanation

FAR_OFF = FindingCode.RUN_FAR_OFF.value
LONGEST_LINE = 2000  # in a pipe; no row comes near it


@app.command(
    epilog="Example: trialpress explain hall-07, or trialpress explain soft-brush deep-rug"
)
def explain(  # noqa: PLR0913, PLR0917  one parameter an option
    what: Annotated[
        str,
        typer.Argument(
            metavar="RUN|SETUP", help="A run, or a set-up.", autocompletion=complete_run_or_setup
        ),
    ],
    protocol: Annotated[
        str | None,
        typer.Argument(
            help="With a set-up: the protocol to explain it under.",
            autocompletion=complete_protocol,
        ),
    ] = None,
    version: Annotated[
        int | None, typer.Option("--version", help="An earlier version of the protocol.")
    ] = None,
    bench: BenchOption = Path(),
    as_of: AsOfOption = None,
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Show how a figure came about, from rows as typed to a place."""
    from trialpress.explain import explain as explained  # noqa: PLC0415  the stages import slowly

    folder = bench_at(bench)
    with faults_reported(as_json=as_json), progress(quiet=quiet or as_json) as say:
        say("working out the results")
        explanation = explained(folder, date_of(as_of), what, protocol, version)
    if as_json:
        echo_json(asdict(explanation))
    elif not quiet:
        _tell(explanation, SafeConsole())


def _tell(explanation: RunExplanation | CellExplanation, console: Console) -> None:
    """Print one explanation; in a pipe each row is one line, however long."""
    from trialpress.explain import RunExplanation  # noqa: PLC0415

    if not console.is_terminal:
        console.width = LONGEST_LINE
    if isinstance(explanation, RunExplanation):
        _tell_run(explanation, console)
    else:
        _tell_cell(explanation, console)


def _run_in_words(run: RunExplanation) -> str:
    """What a run says, in one sentence."""
    if run.value is None:
        return f"It is {run.status} and counts nowhere" + (f": {run.reason}" if run.reason else ".")
    value = f"{run.value:.4g} {run.unit}"
    if run.expanded_uncertainty is None:
        return f"It reads {value}; how sure the readings are is not known."
    sure = f"{run.expanded_uncertainty:.2g} {run.unit} at {100 * run.confidence:g} %"
    return f"It reads {value}, give or take {sure} by its readings alone."


def _cell_in_words(cell: CellExplanation) -> str:
    """Where a set-up stands, in one sentence."""
    runs = "1 run" if len(cell.runs) == 1 else f"{len(cell.runs)} runs"
    mean = f"{cell.mean:g} {cell.unit} from {runs}"
    if cell.low is not None and cell.high is not None:
        mean += f" ({cell.low:g} to {cell.high:g} at {100 * cell.confidence:g} %)"
    places = f"places {cell.place_best} to {cell.place_worst}"
    if cell.place_best == cell.place_worst:
        places = "no other place, at that confidence"
        return f"{mean}: place {cell.place} of {cell.set_ups}; the runs leave {places}."
    return f"{mean}: place {cell.place} of {cell.set_ups}; the runs cannot rule out {places}."


def _without_far_off(cell: CellExplanation) -> Iterator[str]:
    """The mean without each run that is far from the others."""
    from trialpress.view import terms  # noqa: PLC0415

    for line in cell.runs:
        others = [other.value for other in cell.runs if other is not line]
        if FAR_OFF in terms.codes(line.flags) and others:
            mean = math.fsum(others) / len(others)
            yield (
                f"{line.run} is far from the others: without it their mean is {mean:.4g} "
                f"{cell.unit}. It counts all the same."
            )


def _tell_run(run: RunExplanation, console: Console) -> None:
    console.print(f"Run {run.run}: {run.setup}, {run.protocol} version {run.version}.")
    console.print(_run_in_words(run))
    _print(
        console,
        ("input", "as typed", "corrected to", "unit", "file, row", "why corrected"),
        ((i.column, i.typed, i.corrected, i.unit, f"{i.file}, {i.row}", i.why) for i in run.inputs),
    )
    if run.value is None:
        return
    console.print(f"{run.formula} = {run.value:.6g} {run.unit}")
    _print(
        console,
        (
            "component",
            "standard uncertainty",
            "degrees of freedom",
            "sensitivity",
            f"contribution, {run.unit}",
        ),
        (
            (
                part.name,
                _known(part.standard_uncertainty),
                "infinite" if part.degrees_of_freedom is None else f"{part.degrees_of_freedom:g}",
                f"{part.sensitivity:.4g}",
                _known(part.contribution),
            )
            for part in run.budget
        ),
    )
    if run.standard_uncertainty is None or run.expanded_uncertainty is None:
        console.print("Standard uncertainty: unknown, since a component is not known.")
        return
    console.print(
        f"Standard uncertainty {run.standard_uncertainty:.4g} {run.unit} (root sum of squares); "
        f"expanded by {run.coverage_factor:.4g}: {run.expanded_uncertainty:.4g} {run.unit} "
        f"at {100 * run.confidence:g} %."
    )


def _tell_cell(cell: CellExplanation, console: Console) -> None:
    console.print(f"{cell.setup}, {cell.protocol} version {cell.version}:")
    console.print(_cell_in_words(cell))
    if cell.marks:
        console.print(f"Marked: {', '.join(cell.marks)}.")
    if cell.chance:
        console.print(cell.chance)
    for sentence in _without_far_off(cell):
        console.print(sentence)
    _print(
        console,
        ("run", "day", "value", "standard uncertainty", "flags"),
        (
            (line.run, line.day, f"{line.value:g}", _known(line.u_value), line.flags)
            for line in cell.runs
        ),
    )
    _print(
        console,
        ("step", "how", "outcome"),
        ((step.what, step.formula, step.outcome) for step in cell.steps),
    )
    better = cell.place_best - 1
    console.print(
        f"The runs tell {better} set-ups better, {cell.set_ups - cell.place_worst} worse: "
        f"so places {cell.place_best} to {cell.place_worst}."
    )
    _print(
        console,
        ("told apart from", "this one is", "by", "interval"),
        (
            (o.setup, o.relation, f"{abs(o.difference):g}", f"{o.low:g} to {o.high:g}")
            for o in cell.told_apart
        ),
    )
    _print(
        console,
        ("of the others", "set-ups"),
        ((one.relation, str(one.setups)) for one in cell.untold),
    )


def _print(console: Console, headings: Sequence[str], rows: Iterable[Sequence[str | None]]) -> None:
    """Print a table without its empty columns."""
    texts = [[text or "" for text in row] for row in rows]
    used = [i for i, column in enumerate(zip(*texts, strict=True)) if any(column)]
    table = Table(box=box.HEAVY_HEAD if console.is_terminal else None, pad_edge=False)
    for i in used:
        table.add_column(headings[i], overflow="fold")
    for row in texts:
        table.add_row(*(row[i] for i in used))
    if table.row_count:
        console.print(table)


def _known(value: float | None) -> str:
    return "unknown" if value is None else f"{value:.4g}"
