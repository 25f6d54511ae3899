"""What differs between the public figures of two benches.

In:  two benches and a date.
Out: each figure that is not the same, before and after.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import pandas as pd

from trialpress.bench import Bench
from trialpress.intake import read_bench
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.store import build_store

KEYS: Mapping[str, tuple[str, ...]] = {
    "run_results": ("run",),
    "cells": ("protocol", "version", "setup"),
    "standings": ("protocol", "version", "setup"),
    "overall": ("scope", "setup"),
    "top_cuts": ("protocol", "version", "setup"),
    "maker_overview": ("protocol", "version", "maker"),
    "machines": ("machine",),
    "makers": ("maker",),
    "setups": ("setup",),
    "floors": ("floor",),
    "soils": ("soil",),
    "instruments": ("instrument",),
    "protocols": ("protocol", "version"),
    "claims": ("claim",),
}
UNTOLD = frozenset({"source_file", "source_row", "row_key", "file", "row", "position", "decimals"})

Figures = Mapping[tuple[str, str], Mapping[str, str]]


@dataclass(frozen=True)
class Effect:
    """One public figure that changes; None where there is no figure on that side."""

    table: str
    row: str
    column: str
    before: str | None
    after: str | None


def read_figures(bench: Bench, as_of: date) -> Figures:
    """Work out every public figure of a bench, in memory.

    Raises
    ------
    FaultyBenchError
        If the data have faults.
    """
    store = build_store(read_bench(bench, as_of), as_of)
    try:
        measure_runs(store)
        work_out(store)
        figures: dict[tuple[str, str], Mapping[str, str]] = {}
        for table, key in KEYS.items():
            order = ", ".join(f'"{name}"' for name in key)
            figures |= _figures(table, key, store.frame(f'from "{table}" order by {order}'))
    finally:
        store.connection.close()
    return figures


def _figures(
    table: str, key: tuple[str, ...], frame: pd.DataFrame
) -> dict[tuple[str, str], Mapping[str, str]]:
    """The rows of one table by table and key, every cell as text; blank cells are left out."""
    columns = [name for name in frame.columns if name not in UNTOLD.union(key)]
    return {
        (table, " ".join(str(row[name]) for name in key)): {
            name: _text(row[name]) for name in columns if pd.notna(row[name])
        }
        for _, row in frame.astype(object).iterrows()
    }


def _text(value: object) -> str:
    return f"{value:.12g}" if isinstance(value, float) else str(value)


def tell_effects(before: Figures, after: Figures) -> tuple[Effect, ...]:
    """Every figure that differs, in the order of the tables, then of their rows."""
    places = list(dict.fromkeys([*before, *after]))
    return tuple(
        Effect(table, row, column, old.get(column), new.get(column))
        for table, row in sorted(places, key=lambda place: (list(KEYS).index(place[0]), place[1]))
        for old in [before.get((table, row), {})]
        for new in [after.get((table, row), {})]
        for column in dict.fromkeys([*old, *new])
        if old.get(column) != new.get(column)
    )
