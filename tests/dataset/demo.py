"""The demo bench through all stages before the dataset.

In:  a date.
Out: a store with every result table, as of that date.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

from trialpress.analyses import Earlier, work_out_analyses
from trialpress.bench import Bench
from trialpress.intake import read_bench
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.store import Store, build_store

ROOT = Path(__file__).parents[2]
BEFORE_THE_LAST_DAY = date(2026, 10, 9)


def demo_store(as_of: date) -> Store:
    """The demo bench as it could be seen on one date."""
    store = _with_results(as_of)
    before = _with_results(BEFORE_THE_LAST_DAY)
    work_out_analyses(store, [Earlier(BEFORE_THE_LAST_DAY, 1, before)])
    before.connection.close()
    return store


def _with_results(as_of: date) -> Store:
    store = build_store(read_bench(Bench(ROOT), as_of), as_of)
    measure_runs(store)
    work_out(store)
    return store
