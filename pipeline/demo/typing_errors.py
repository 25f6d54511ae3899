"""Rows as they were typed, where the tester's fingers slipped.

In:  rows with the true readings, and the slips.
Out: rows as typed, and the corrections that put them right.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict

from demo.incidents import CATALOGUE_CORRECTIONS, SLIPS, SWAPPED, RunKey, Slip
from demo.rows import Correction, Count, Grading, Reading, Value, Weighing

_TABLES = {Weighing: "weighings", Value: "values", Count: "counts", Grading: "gradings"}
_ZONE_OF_SLIP = ("b3", "th")


def table_of(row: Reading) -> str:
    """The file a reading belongs to, without its ending."""
    return _TABLES[type(row)]


def as_typed(row: Reading) -> Reading:
    """The row with its slip in it, where there is one."""
    return type(row)(**(asdict(row) | _typed_cells(row)))


def corrections(rows: Iterable[Reading]) -> tuple[Correction, ...]:
    """Rows of ``corrections.csv`` in the order in which they were made."""
    made = [*CATALOGUE_CORRECTIONS, *(line for row in rows for line in _corrections_of(row))]
    return tuple(sorted(made, key=lambda line: (line.corrected_on, line.correction)))


def _slip_of(row: Reading) -> Slip | None:
    """The slip of this row: of a graded run only one zone's row has it."""
    if isinstance(row, Grading) and (row.zone, row.grader) != _ZONE_OF_SLIP:
        return None
    return SLIPS.get(RunKey(row.setup, row.protocol, row.version, row.replicate))


def _typed_cells(row: Reading) -> dict[str, str]:
    slip = _slip_of(row)
    if slip is None:
        return {}
    if slip.typed == SWAPPED and isinstance(row, Weighing):
        return {"before_g": row.after_g, "after_g": row.before_g}
    return {slip.column: slip.typed}


def _corrections_of(row: Reading) -> list[Correction]:
    slip = _slip_of(row)
    if slip is None:
        return []
    key = f"{row.run}|{row.zone}|{row.grader}" if isinstance(row, Grading) else row.run
    return [
        Correction(
            correction=slip.correction,
            table=table_of(row),
            row=key,
            column=column,
            corrected_on=slip.corrected_on,
            was=typed,
            now=getattr(row, column),
            why=slip.why,
        )
        for column, typed in _typed_cells(row).items()
    ]
