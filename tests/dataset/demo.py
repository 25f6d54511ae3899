"""The demo bench through all stages before the dataset.

In:  a date.
Out: a store with every result table, as of that date.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

from trialpress.bench import Bench
from trialpress.intake import read_bench
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.store import Store, build_store

ROOT = Path(__file__).parents[2]


def demo_store(as_of: date) -> Store:
    """The demo bench as it could be seen on one date."""
    store = build_store(read_bench(Bench(ROOT), as_of), as_of)
    measure_runs(store)
    work_out(store)
    return store
