"""Which files of a bench were saved since one looked last.

In:  a bench folder.
Out: a snapshot: every file's time and size. Nothing is opened.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from pathlib import Path

from trialpress.bench import Bench

Snapshot = Mapping[str, tuple[int, int]]
OWN_RECORDS = ("published.csv",)  # written by publish, after the build that it publishes


def snapshot(bench: Bench) -> Snapshot:
    """Time and size of everything typed and of the bench's own templates."""
    return {
        entry.path: (stat.st_mtime_ns, stat.st_size)
        for folder in (bench.data, bench.own_templates)
        for entry, stat in _files(folder)
    }


def _files(folder: Path) -> Iterator[tuple[os.DirEntry[str], os.stat_result]]:
    try:
        entries = list(os.scandir(folder))
    except OSError:
        return
    for entry in entries:
        if entry.name.startswith(".") or entry.name in OWN_RECORDS:
            continue
        if entry.is_dir():
            yield from _files(Path(entry.path))
            continue
        try:
            yield entry, entry.stat()
        except OSError:  # gone since it was listed
            continue
