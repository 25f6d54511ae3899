"""The valid runs of one protocol, machine or maker as a small CSV file of their own.

In:  the store with every result table.
Out: ``subsets/<protocols, machines or makers>/<slug>.csv`` in the dataset folder, linked from their
     pages. They hold nothing that the tables do not, and are no part of the archive.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from pathlib import Path

from trialpress.dataset.table_files import text_of
from trialpress.paths import write_below
from trialpress.store import Store, grouped, read_sql


@dataclass(frozen=True)
class SubsetRun:
    """One run with the names around it."""

    run: str
    day: str
    at: str
    maker: str
    maker_name: str
    machine: str
    machine_name: str
    setup: str
    label: str
    protocol: str
    version: int
    series_version: int
    value: float
    u_value: float | None
    unit: str
    flags: str | None


COLUMNS = tuple(field.name for field in fields(SubsetRun))


def write_subsets(store: Store, folder: Path) -> None:
    """Write every subset below a dataset folder."""
    runs = store.records(SubsetRun, read_sql("trialpress.dataset", "queries/subset_runs.sql"))
    subsets: Mapping[str, Mapping[str, Iterable[SubsetRun]]] = {
        "protocols": grouped(runs, lambda run: run.protocol),
        "machines": grouped(runs, lambda run: run.machine),
        "makers": grouped(runs, lambda run: run.maker),
    }
    for kind, files in subsets.items():
        for slug, rows in files.items():
            write_below(folder, f"subsets/{kind}/{slug}.csv", _text(rows).encode("utf-8"))


def _text(runs: Iterable[SubsetRun]) -> str:
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(COLUMNS)
    for run in runs:
        writer.writerow([text_of(getattr(run, name), None) for name in COLUMNS])
    return stream.getvalue()
