"""Benches damaged in thousands of ways: none may end in anything but findings or results.

In:  how many benches.
Out: figures for ``FIGURES.md``. It stops at the first fault, with the seed that shows it.
"""

from __future__ import annotations

import resource
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from intake.damaged_benches import Outcome, try_damage

KB_PER_MB = 1024


def study(cases: int) -> Iterator[tuple[str, str]]:
    """Try so many seeds, from 0 on.

    Raises
    ------
    AssertionError
        If a file of a bench was changed.
    """
    kinds, passed, worked_out, longest_s = Counter[str](), 0, 0, 0.0
    with TemporaryDirectory() as folder:
        for seed in range(cases):
            began = time.process_time()
            outcome = _tried(Path(folder), seed)
            longest_s = max(longest_s, time.process_time() - began)
            kinds.update(done.partition(":")[0] for done in outcome.damage)
            passed += outcome.words is None
            worked_out += outcome.is_worked_out
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / KB_PER_MB
    yield "damaged benches checked, each by one to three things", f"{cases:,}"
    yield "kinds of damage", f"{len(kinds)}"
    yield "that passed check all the same; worked out as well", f"{passed:,}; {worked_out:,}"
    yield "tracebacks; files of a bench that were changed", "0; 0"
    yield "longest of them", f"{longest_s:.1f} CPU s"
    yield "peak memory of all in one process", f"{peak_mb:.0f} MB"


def _tried(folder: Path, seed: int) -> Outcome:
    outcome = try_damage(folder / "bench", seed)
    if outcome.changed:
        raise AssertionError(f"seed {seed} changed a file: {outcome.damage}")
    return outcome
