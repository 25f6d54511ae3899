"""Readings into one value a run, with its standard uncertainty.

In:  the store with its visible, corrected readings.
Out: table ``run_values`` (unrounded): run, value, u_value, u_shared, tries; NULL is unknown, and
     ``tries`` NULL where the value is no share.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trialpress.measure.budget import Budget, Floats, combined_uncertainty
from trialpress.measure.counted import share_of_clean_zones, share_of_hits
from trialpress.measure.valued import value_as_read
from trialpress.measure.weighed import Weighed, pickup_collected, pickup_from_left
from trialpress.store import Store, read_sql

__all__ = ["budget_of_run", "measure_runs"]

PACKAGE = "trialpress.measure"
Texts = NDArray[np.object_]


def measure_runs(store: Store) -> None:
    """Write ``run_values``: the value of every valid run, with what is known of its uncertainty.

    ``u_shared`` is the part of ``u_value`` that repeating the run does not average out.
    """
    measured = [_as_columns(*measured) for measured in _budgets(store)]
    columns = {name: np.concatenate([part[name] for part in measured]) for name in measured[0]}
    order = np.argsort(columns["run"], kind="stable")
    store.write("run_values", {name: column[order] for name, column in columns.items()})


def budget_of_run(store: Store, run: str) -> Budget:
    """The budget of one valid run, arrays of shape (1,).

    Raises
    ------
    KeyError
        If there is no such valid run.
    """
    for runs, budget, _ in _budgets(store):
        (found,) = np.nonzero(runs == run)
        if len(found):
            return budget.of(int(found[0]))
    raise KeyError(run)


def _budgets(store: Store) -> Iterator[tuple[Texts, Budget, Floats | None]]:
    """Runs, their budgets and, for shares, their tries: one reading kind after the other."""
    weighings = _readings(store, "weighings")
    for reading, pickup in (("collected", pickup_collected), ("left", pickup_from_left)):
        of_it = weighings["reading"] == reading
        masses = {name: _floats(weighings[name])[of_it] for name in Weighed.__dataclass_fields__}
        yield weighings["run"][of_it], pickup(Weighed(**masses)), None
    counts = _readings(store, "counts")
    hits, tries = _floats(counts["hits"]), _floats(counts["tries"])
    yield counts["run"], share_of_hits(hits, tries), tries
    graded = _readings(store, "gradings")
    clean, gradings, zones = (_floats(graded[name]) for name in ("clean", "gradings", "zones"))
    yield graded["run"], share_of_clean_zones(clean, gradings, zones), zones
    values = _readings(store, "values")
    columns = [_floats(values[name]) for name in ("value", "resolution", "scale_u")]
    yield values["run"], value_as_read(*columns), None


def _readings(store: Store, table: str) -> Mapping[str, NDArray[Any]]:
    return store.columns(read_sql(PACKAGE, f"queries/{table}.sql"))


def _floats(column: NDArray[Any]) -> Floats:
    return column.astype(np.float64)


def _as_columns(runs: Texts, budget: Budget, tries: Floats | None) -> Mapping[str, NDArray[Any]]:
    shared = [part.contribution for part in budget.components if part.is_shared]
    return {
        "run": runs,
        "value": budget.value,
        "u_value": budget.standard_uncertainty,
        "u_shared": combined_uncertainty(shared) if shared else np.zeros_like(budget.value),
        "tries": np.full_like(budget.value, np.nan) if tries is None else tries,
    }
