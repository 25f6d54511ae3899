"""Explanations as tables on a terminal, or plain text in a pipe.

In:  a ``RunExplanation`` or a ``CellExplanation``.
Out: text on a console that the command line hands over.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich import box
from rich.console import Console
from rich.table import Table

from trialpress.explain import CellExplanation, RunExplanation

LONGEST_LINE = 2000  # in a pipe; no row comes near it


def tell(explanation: RunExplanation | CellExplanation, console: Console) -> None:
    """Print one explanation; in a pipe each row is one line, however long."""
    if not console.is_terminal:
        console.width = LONGEST_LINE
    if isinstance(explanation, RunExplanation):
        _tell_run(explanation, console)
    else:
        _tell_cell(explanation, console)


def _tell_run(run: RunExplanation, console: Console) -> None:
    console.print(f"Run {run.run}: {run.setup}, {run.protocol} version {run.version}, {run.status}")
    if run.reason:
        console.print(f"  {run.reason}")
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
    console.print(f"{cell.setup}, {cell.protocol} version {cell.version}, in {cell.unit}")
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
    console.print(
        f"Place {cell.place} of {cell.set_ups}; the runs cannot rule out "
        f"{cell.place_best} to {cell.place_worst}: {cell.place_best - 1} set-ups are better, "
        f"{cell.set_ups - cell.place_worst} worse."
    )
    _print(
        console,
        ("told apart from", "this one is", "by", "interval"),
        (
            (o.setup, o.relation, f"{abs(o.difference):g}", f"{o.low:g} to {o.high:g}")
            for o in cell.told_apart
        ),
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
