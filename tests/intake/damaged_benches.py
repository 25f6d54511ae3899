"""One damaged bench, checked, and worked out where it passes.

In:  a seed.
Out: what was done to the small bench, and what came of it; whatever is raised besides findings and
     errors for people goes through.
"""

from __future__ import annotations

import shutil
import time
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from random import Random

from flow.benches import SMALL, open_results
from intake.damage import damaged, digests_below
from trialpress.analyses import work_out_analyses
from trialpress.bench import Bench
from trialpress.errors import TrialpressError
from trialpress.intake import FaultyBenchError, read_bench

NOW = datetime(2031, 6, 1, tzinfo=UTC)
WORKED_OUT_OF = 4
"""One in so many benches that pass check despite their damage is worked out as well."""


@dataclass(frozen=True)
class Outcome:
    """``words`` are those of the refusal, None where the bench passed; ``changed``: a file was.

    ``cpu_s``: what checking it and working it out took.
    """

    damage: tuple[str, ...]
    words: str | None
    is_worked_out: bool
    changed: bool
    cpu_s: float


def try_damage(folder: Path, seed: int) -> Outcome:
    """Damage a copy of the small bench in ``folder``, and check it."""
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(SMALL, folder)
    damage = damaged(folder / "data", Random(seed))  # noqa: S311  repeatable
    before = digests_below(folder)
    began = time.process_time()
    try:
        words = _words_of_check(Bench(folder))
        is_worked_out = words is None and seed % WORKED_OUT_OF == 0
        if is_worked_out:
            words = _words_of_work(Bench(folder))
    except Exception as error:
        error.add_note(f"seed {seed}: {'; '.join(damage.done)}")
        raise
    cpu_s = time.process_time() - began
    changed = digests_below(folder) != before
    return Outcome(tuple(damage.done), words, is_worked_out, changed, cpu_s)


def _words_of_check(bench: Bench) -> str | None:
    try:
        read_bench(bench, None, NOW)
    except FaultyBenchError as error:
        return str(error)
    return None


def _words_of_work(bench: Bench) -> str | None:
    try:
        with open_results(bench, date(2031, 6, 1)) as store:
            work_out_analyses(store, [])
    except TrialpressError as error:
        return str(error)
    return None
