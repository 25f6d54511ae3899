"""How long each stage takes on a bench folder; a measurement, not a test.

In:  a bench folder (default: the demo) and a number of builds (default: 3).
Out: the fastest time of each stage on standard output.

Run as ``make speed``, or ``.venv/bin/python tests/speed/time_stages.py --bench DIR --builds 5``.
"""

from __future__ import annotations

import argparse
import sys
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from trialpress.bench import Bench
from trialpress.flow import Order, Output, build

AS_OF = date(2099, 1, 1)  # everything in the bench
DEMO = Path(__file__).parents[2]


def time_build(bench: Bench) -> dict[str, float]:
    """Seconds from the start of each stage to the start of the next."""
    starts: list[tuple[str, float]] = []
    with TemporaryDirectory() as folder:
        build(
            Order(
                bench,
                AS_OF,
                Path(folder),
                tuple(Output),
                lambda words: starts.append((words, perf_counter())),
            )
        )
        ends = [start for _, start in starts[1:]] + [perf_counter()]
    return {words: end - start for (words, start), end in zip(starts, ends, strict=True)}


def main() -> None:
    """Build a few times and write the fastest time of each stage."""
    parser = argparse.ArgumentParser(description="Time the stages of a build.")
    parser.add_argument("--bench", type=Path, default=DEMO)
    parser.add_argument("--builds", type=int, default=3)
    asked = parser.parse_args()
    times = [time_build(Bench(asked.bench)) for _ in range(asked.builds)]
    fastest = {stage: min(each[stage] for each in times) for stage in times[0]}
    for stage, seconds in [*fastest.items(), ("all", sum(fastest.values()))]:
        sys.stdout.write(f"{seconds:7.2f} s  {stage}\n")


if __name__ == "__main__":
    main()
