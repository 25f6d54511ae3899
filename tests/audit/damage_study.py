"""Benches damaged in thousands of ways: none may end in anything but findings or results.

In:  how many benches.
Out: figures for ``FIGURES.md``. It stops at the first fault, with the seed that shows it.

Each process tries some hundreds, so that what one of them costs is not hidden by the others.
"""

from __future__ import annotations

import multiprocessing
import resource
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from intake.damaged_benches import Outcome, try_damage

KB_PER_MB = 1024
TRIED_BY_ONE = 500
WORKERS = 2


@dataclass(frozen=True)
class Tried:
    """What came of some seeds in a process of their own."""

    kinds: Counter[str]
    passed: int
    worked_out: int
    longest: tuple[float, int]
    peak_mb: float


def study(cases: int) -> Iterator[tuple[str, str]]:
    """Try so many seeds, from 0 on.

    Raises
    ------
    AssertionError
        If a file of a bench was changed.
    """
    seeds = [range(i, min(i + TRIED_BY_ONE, cases)) for i in range(0, cases, TRIED_BY_ONE)]
    spawned = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(WORKERS, spawned, max_tasks_per_child=1) as processes:
        tried = list(processes.map(_try_all, seeds))
    kinds = sum((one.kinds for one in tried), Counter[str]())
    longest_s, seed = max(one.longest for one in tried)
    yield "damaged benches checked, each by one to three things", f"{cases:,}"
    yield "kinds of damage", f"{len(kinds)}"
    yield (
        "that passed check all the same; worked out as well",
        f"{sum(one.passed for one in tried):,}; {sum(one.worked_out for one in tried):,}",
    )
    yield "tracebacks; files of a bench that were changed", "0; 0"
    yield "longest of them", f"{longest_s:.1f} CPU s (seed {seed})"
    yield (
        f"peak memory of a process that tries {TRIED_BY_ONE}, damage and all",
        f"{max(one.peak_mb for one in tried):.0f} MB",
    )


def _try_all(seeds: range) -> Tried:
    with TemporaryDirectory() as folder:
        outcomes = [_tried(Path(folder), seed) for seed in seeds]
    return Tried(
        Counter(done.partition(":")[0] for outcome in outcomes for done in outcome.damage),
        sum(outcome.words is None for outcome in outcomes),
        sum(outcome.is_worked_out for outcome in outcomes),
        max((outcome.cpu_s, seed) for outcome, seed in zip(outcomes, seeds, strict=True)),
        resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / KB_PER_MB,
    )


def _tried(folder: Path, seed: int) -> Outcome:
    outcome = try_damage(folder / "bench", seed)
    if outcome.changed:
        raise AssertionError(f"seed {seed} changed a file: {outcome.damage}")
    return outcome
