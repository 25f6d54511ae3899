"""The demo bench built once a test run, by whichever process needs it first.

In:  the repository's own bench folder.
Out: a folder with its store, its dataset and its site, as of ``AS_OF``.
"""

from __future__ import annotations

import fcntl
from datetime import date
from pathlib import Path

from trialpress.bench import Bench
from trialpress.flow import Order, Output, build

ROOT = Path(__file__).parents[1]
AS_OF = date(2026, 11, 1)


def built_once(out: Path) -> Path:
    """Build the demo bench into a folder; other processes that want it wait for its lock."""
    with out.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (out / "site").is_dir():
            build(Order(Bench(ROOT), AS_OF, out, tuple(Output), lambda _: None))
    return out
