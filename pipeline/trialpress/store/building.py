"""The store's own order: load, hide what may not be seen yet, make runs and series, check.

In:  a ``CheckedBench`` and the date of the build.
Out: a ``Store``.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import duckdb

from trialpress.bench import Settings
from trialpress.intake import CheckedBench
from trialpress.store.loading import load_tables
from trialpress.store.models import run_checks, run_models
from trialpress.store.store import Store
from trialpress.store.visibility import is_told, keep_visible_rows

PACKAGE = "trialpress.store"
MOST_HELD = "512MB"
"""What the database holds in memory of a store in a file: the rest waits on the disk beside it. The
comparisons of 1,000 machines alone are more than twice that while they are sorted.
"""


def build_store(
    bench: CheckedBench, as_of: date, file: Path | None = None, *, for_results_only: bool = False
) -> Store:
    """Build the store of one bench as of one date.

    Parameters
    ----------
    bench : CheckedBench
        Every row of every table.
    as_of : date
        What is later, or under embargo then, does not enter the store.
    file : Path, optional
        Where to keep the store; in memory where not given.
    for_results_only : bool
        Leave out ``as_typed.<table>``, which no result depends on.

    Returns
    -------
    Store
        Open, with the visible tables, ``series`` and ``runs``.

    Raises
    ------
    CheckFailedError
        If a check query finds rows that must not exist.
    """
    connection = duckdb.connect(str(file) if file else ":memory:")
    if file:  # else there is no disk that the rest could wait on
        connection.execute(f"set memory_limit = '{MOST_HELD}'")
    connection.execute("set threads = 1")  # sums of doubles change with the number of threads
    keeps_as_typed = not for_results_only
    load_tables(connection, bench, as_of, keeps_as_typed=keeps_as_typed)
    filled = [name for name, table in bench.tables.items() if table.corrected]
    keep_visible_rows(connection, filled, keeps_as_typed=keeps_as_typed)
    findings = tuple(filter(is_told(connection), bench.findings))
    connection.execute("detach loaded")
    run_models(connection, PACKAGE, "models/runs")
    run_checks(connection, PACKAGE, "checks")
    _note_build(connection, bench.settings, as_of)
    methods = _visible_methods(connection, bench)
    return Store(connection, bench.settings, as_of, methods, findings)


def _note_build(connection: duckdb.DuckDBPyConnection, settings: Settings, as_of: date) -> None:
    """One row in ``build``: what the figures depend on beside the rows."""
    connection.execute(
        "create table build as select ?::date as as_of, ?::varchar as name, "
        "?::double as confidence, ?::bigint as top_n, "
        "?::varchar as currency, ?::varchar as licence",
        [
            as_of,
            settings.name,
            settings.confidence,
            settings.top_n,
            settings.currency,
            settings.licence,
        ],
    )


def _visible_methods(connection: duckdb.DuckDBPyConnection, bench: CheckedBench) -> dict[str, str]:
    seen = connection.execute(
        "select distinct protocol from protocols order by protocol"
    ).fetchall()
    return {name: bench.methods[name] for (name,) in seen if name in bench.methods}
