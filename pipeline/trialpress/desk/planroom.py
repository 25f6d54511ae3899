"""The bench as its tester may see it: set-ups under embargo are planned for like any other.

In:  a bench and a date.
Out: a store in memory with nothing hidden by ``publish_on``, measured.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date

from trialpress.bench import Bench
from trialpress.desk.missing import Tally
from trialpress.intake import CheckedBench, Table, read_bench
from trialpress.measure import measure_runs
from trialpress.store import Store, build_store, read_sql

PACKAGE = "trialpress.desk"


@contextmanager
def plan_room(bench: Bench, as_of: date) -> Iterator[Store]:
    """The store of everything that was run by a date.

    Raises
    ------
    FaultyBenchError
        If the data have faults.
    """
    store = build_store(_without_embargo(read_bench(bench, as_of)), as_of)
    try:
        measure_runs(store)
        yield store
    finally:
        store.connection.close()


def read_tallies(store: Store) -> list[Tally]:
    """How often each set-up was run in each series that is still run."""
    return store.records(Tally, read_sql(PACKAGE, "queries/tallies.sql"))


def _without_embargo(checked: CheckedBench) -> CheckedBench:
    setups = checked.tables["setups"]
    seen = Table(
        setups.name,
        setups.as_typed.assign(publish_on=None),
        setups.corrected.assign(publish_on=None),
    )
    return replace(checked, tables={**checked.tables, "setups": seen})
