"""One run: its inputs with file and row, its formula and its uncertainty budget.

In:  the view and the tables as typed.
Out: ``RunExplanation``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from trialpress.errors import UsageError
from trialpress.intake import CheckedBench, Table, read_schema
from trialpress.intake.nearest import meant
from trialpress.measure import budget_of_run
from trialpress.measure.budget import (
    Budget,
    coverage_factor,
    effective_degrees_of_freedom,
)
from trialpress.view import View
from trialpress.view.typed import Run

FORMULAS = {
    "collected": "100 * gain / dose_g; gain = after_g - before_g - blank_g, or gain_g - blank_g",
    "left": "100 * (1 - gain / dose_g); gain = after_g - before_g - blank_g, or gain_g - blank_g",
    "count": "100 * hits / tries",
    "graded": "100 * zones graded clean or better / all zones graded",
    "value": "the value as read",
}
INPUT_COLUMNS = {
    "weighings": ("before_g", "after_g", "gain_g", "blank_g", "dose_g", "dose_by", "instrument",
                  "dose_instrument"),
    "values": ("value", "instrument"),
    "counts": ("hits", "tries"),
    "gradings": ("grade",),
}  # fmt: skip


class NoSuchRunError(UsageError):
    """The run is not among those that can be seen."""

    def __init__(self, view: View, run: str) -> None:
        super().__init__(
            f"There is no run {run} to be seen as of {view.store.as_of}. "
            f"{meant(run, view.run) or 'Check its spelling. '}"
            "A later or embargoed run is seen with --as-of DATE."
        )


@dataclass(frozen=True)
class Input:
    """One typed cell that went in; ``corrected`` is None where no correction changed it."""

    column: str
    typed: str | None
    corrected: str | None
    why: str | None
    unit: str | None
    file: str
    row: int


@dataclass(frozen=True)
class Share:
    """One line of the budget, in the unit of the value; None is not known.

    ``degrees_of_freedom`` is None where the component's uncertainty is taken as exactly known.
    """

    name: str
    standard_uncertainty: float | None
    sensitivity: float
    contribution: float | None
    degrees_of_freedom: float | None
    is_shared: bool


@dataclass(frozen=True)
class RunExplanation:
    """A run worked out; a run that is void or planned has no value, and ``status`` says so."""

    run: str
    setup: str
    protocol: str
    version: int
    reading: str
    status: str
    reason: str | None
    unit: str
    inputs: tuple[Input, ...]
    formula: str
    value: float | None
    budget: tuple[Share, ...]
    standard_uncertainty: float | None
    degrees_of_freedom: float | None
    coverage_factor: float | None
    expanded_uncertainty: float | None
    confidence: float


def explain_run(view: View, bench: CheckedBench, run: str) -> RunExplanation:
    """Explain one run.

    Raises
    ------
    NoSuchRunError
        If the store has no such run.
    """
    row = view.run.get(run)
    if row is None:
        raise NoSuchRunError(view, run)
    budget = budget_of_run(view.store, run) if row.status == "valid" else None
    known = _known_uncertainty(budget)
    df = _degrees_of_freedom(budget) if budget and known is not None else None
    factor = coverage_factor(df, view.settings.confidence) if df else None
    return RunExplanation(
        run=row.run,
        setup=row.setup,
        protocol=row.protocol,
        version=row.version,
        reading=row.reading,
        status=row.status,
        reason=row.reason,
        unit=row.unit,
        inputs=tuple(_inputs(bench, row)),
        formula=FORMULAS[row.reading],
        value=float(budget.value[0]) if budget else None,
        budget=tuple(_shares(budget)) if budget else (),
        standard_uncertainty=known,
        degrees_of_freedom=None if df is None else _finite(df),
        coverage_factor=factor,
        expanded_uncertainty=factor * known if factor and known is not None else None,
        confidence=view.settings.confidence,
    )


def _known_uncertainty(budget: Budget | None) -> float | None:
    if budget is None or math.isnan(budget.standard_uncertainty[0]):
        return None
    return float(budget.standard_uncertainty[0])


def _degrees_of_freedom(budget: Budget) -> float:
    return effective_degrees_of_freedom(
        [float(part.contribution[0]) for part in budget.components],
        [part.degrees_of_freedom for part in budget.components],
    )


def _shares(budget: Budget) -> Iterator[Share]:
    for part in budget.components:
        yield Share(
            name=part.name,
            standard_uncertainty=_number(part.standard_uncertainty[0]),
            sensitivity=float(part.sensitivity[0]) + 0.0,  # never -0
            contribution=_number(part.contribution[0]),
            degrees_of_freedom=_finite(part.degrees_of_freedom),
            is_shared=part.is_shared,
        )


def _finite(df: float) -> float | None:
    return None if math.isinf(df) else df


def _number(value: float) -> float | None:
    return None if math.isnan(value) else float(value)


def _inputs(bench: CheckedBench, row: Run) -> Iterator[Input]:
    """The cells of the run's rows as typed, each with its correction."""
    table = bench.tables[row.reading_table]
    units = {field.name: field.unit for field in read_schema(row.reading_table).fields}
    reasons = _correction_reasons(bench.tables["corrections"])
    key = read_schema(row.reading_table).key
    for as_typed, as_corrected in zip(table.as_typed, table.corrected, strict=True):
        if as_typed.cells["run"] != row.run:
            continue
        row_key = "|".join(map(str, as_typed.key))
        for column in INPUT_COLUMNS[row.reading_table]:
            typed, corrected = as_typed.cells[column], as_corrected.cells[column]
            if typed is None and corrected is None:
                continue
            is_changed = typed != corrected
            yield Input(
                column=column
                if len(key) == 1
                else f"{column} ({' '.join(row_key.split('|')[1:])})",
                typed=typed,
                corrected=corrected if is_changed else None,
                why=reasons.get((row.reading_table, row_key, column)) if is_changed else None,
                unit=units[column],
                file=as_typed.file,
                row=as_typed.number,
            )


def _correction_reasons(corrections: Table) -> dict[tuple[str | None, ...], str]:
    """Why each cell was corrected last, by table, row and column."""
    lines = [row.cells for row in corrections.as_typed]
    return {
        (line["table"], line["row"], line["column"]): f"{line['corrected_on']}: {line['why']}"
        for line in sorted(lines, key=lambda line: str(line["corrected_on"]))
    }
