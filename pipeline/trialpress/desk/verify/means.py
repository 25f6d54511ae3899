"""Whether published means are the means of the published values of their runs.

In:  the tables of a dataset.
Out: where they are not. No version of the program ever made it otherwise, so what differs here was
     changed, whoever reads it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from statistics import fmean

from trialpress.desk.verify.differences import Cell, Difference
from trialpress.desk.verify.formats import HeldTable, WrongTableError
from trialpress.store import grouped

MOST_DECIMALS = 15
SIDES = ("published", "from the values of its runs")
Row = Mapping[str, Cell]


def mean_differences(tables: Sequence[HeldTable]) -> Iterator[Difference]:
    """Cells whose mean, or number of runs, is not that of their runs.

    Runs have one digit more than means, so a mean of rounded values may be out by their last one.

    Raises
    ------
    WrongTableError
        If a table lacks a column that it always had, or a cell has decimals that no figure has.
    """
    held = {table.name: table for table in tables if table.kind == "results"}
    if not {"cells", "run_results"} <= held.keys():
        return
    cells = held["cells"]
    try:
        runs = grouped(held["run_results"].values.values(), _series_and_setup)
        for name, cell in cells.values.items():
            values = [_number(run["value"]) for run in runs.get(_key_of_cell(cell), ())]
            yield from _differences(cells.csv_name, name, cell, values)
    except KeyError as error:
        raise WrongTableError(cells.csv_name, f"it has no column {error}") from None


def _differences(table: str, name: str, cell: Row, values: Sequence[float]) -> Iterator[Difference]:
    if len(values) != cell["n"]:
        yield Difference(table, name, "n", str(cell["n"]), str(len(values)), SIDES)
    elif values:
        decimals = cell["decimals"]
        if not (isinstance(decimals, int) and abs(decimals) <= MOST_DECIMALS):
            raise WrongTableError(table, f"{name} has {decimals} decimals")
        mean, published = _mean(values), _number(cell["mean"])
        if not math.isclose(mean, published, rel_tol=0, abs_tol=0.56 * 10.0**-decimals):
            shown = f"{mean:.{decimals}f}"
            yield Difference(table, name, "mean", f"{published:.{decimals}f}", shown, SIDES)


def _mean(values: Sequence[float]) -> float:
    """The mean; NaN where values are none that a run can have."""
    try:
        return fmean(values)
    except (ValueError, OverflowError):
        return math.nan


def _series_and_setup(run: Row) -> tuple[Cell, Cell, Cell]:
    return run["protocol"], run["series_version"], run["setup"]


def _key_of_cell(cell: Row) -> tuple[Cell, Cell, Cell]:
    return cell["protocol"], cell["version"], cell["setup"]


def _number(cell: Cell) -> float:
    return float(cell) if isinstance(cell, int | float) else math.nan
