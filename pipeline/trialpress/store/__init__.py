"""Checked tables into DuckDB, as they were visible on one date.

In:  a ``CheckedBench`` with every row, later and embargoed ones included.
Out: a ``Store`` that holds only what may be seen on the date of the build.
"""

from trialpress.store.building import build_store
from trialpress.store.store import Store, grouped, read_sql

__all__ = ["Store", "build_store", "grouped", "read_sql"]
