"""What is made once a test run, by whichever process needs it first; first of all the demo bench.

In:  a place that all processes of a run know, and how to make what belongs there.
Out: that place. The demo bench is built with its store, its dataset and its site, as of ``AS_OF``.
"""

from __future__ import annotations

import fcntl
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

from trialpress.bench import Bench
from trialpress.flow import Order, Output, build

ROOT = Path(__file__).parents[1]
AS_OF = date(2026, 11, 1)


def made_once(place: Path, make: Callable[[Path], object]) -> Path:
    """A folder that is made where it is not there yet; others that want it wait for its lock."""
    with place.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not place.is_dir():
            begun = place.with_suffix(".begun")
            shutil.rmtree(begun, ignore_errors=True)  # another process may have failed
            make(begun)
            begun.rename(place)
    return place


def build_demo(out: Path) -> None:
    """Build the demo bench into a folder."""
    build(Order(Bench(ROOT), AS_OF, out, tuple(Output), lambda _: None))
