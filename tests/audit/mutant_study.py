"""Do the tests notice a change of the mathematics? Mutants of ``measure`` and ``results``.

In:  how many, each a line of a module changed by cosmic-ray, and the environment that has it.
Out: figures for ``FIGURES.md``, and ``MUTANTS.md`` with every change that no test of the two
     stages, nor one against published values, has noticed. Someone reads those, and kills them with
     a test or says there why nothing changes.

The lines are drawn by chance with a fixed seed, so that the score is an estimate, told with its
interval (Wilson).
"""

from __future__ import annotations

import difflib
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from queue import SimpleQueue
from tempfile import TemporaryDirectory

from statsmodels.stats.proportion import proportion_confint

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
TABLE = HERE / "MUTANTS.md"
STAGES = ("measure", "results")
TESTS = ("tests/measure", "tests/results", "tests/outside", "tests/flow/test_bench_watch.py")
DEAR = "false_separations or no_series_ever or of_scipy_with or design_have or told_come_true"
SEED = 20261127
LONGEST_S = 900
WORKERS = 2
COLUMNS = 4
HEAD = """# Changes of the mathematics that no test has noticed

Of {how_many} lines changed by chance (seed {seed}); the others made a test fail. The last column
says why nothing changes for anybody, and is blank where a test is missing.

| no | module | change | why it does not matter |
|---|---|---|---|
"""


@dataclass(frozen=True)
class Mutant:
    """One changed module."""

    module: str
    line: int
    operator: str
    source: str

    @property
    def change(self) -> str:
        """The line before and after."""
        before = (ROOT / self.module).read_text("utf-8").splitlines()
        lines = difflib.unified_diff(before, self.source.splitlines(), lineterm="", n=0)
        kept = [line[1:].strip() for line in list(lines)[3:]]
        return " → ".join(f"`{line.replace('|', '/')}`" for line in kept)


def study(how_many: int, python: Path) -> Iterator[tuple[str, str]]:
    """Try so many mutants, made by an environment that has cosmic-ray."""
    modules = sorted(
        module.relative_to(ROOT).as_posix()
        for stage in STAGES
        for module in (ROOT / "pipeline/trialpress" / stage).rglob("*.py")
    )
    made = subprocess.run(
        [python, HERE / "mutants.py", str(how_many), str(SEED), *modules],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    mutants = [Mutant(**json.loads(line)) for line in made.splitlines()]
    with TemporaryDirectory() as folder, ThreadPoolExecutor(WORKERS) as workers:
        free = SimpleQueue[Path]()
        for i in range(WORKERS):
            free.put(_copy(Path(folder) / str(i)))
        assert _survives(None, free), "the tests fail on the modules as they are"
        survived = list(workers.map(lambda mutant: _survives(mutant, free), mutants))
    left = [mutant for mutant, has in zip(mutants, survived, strict=True) if has]
    _write(left, len(mutants))
    killed = len(mutants) - len(left)
    low, high = proportion_confint(killed, len(mutants), method="wilson")
    yield "lines of `measure` and `results` changed, drawn by chance", f"{len(mutants)}"
    yield "changes that a test noticed", f"{killed}, {killed / len(mutants):.0%}"
    yield "interval of that share (Wilson, 95 %)", f"{low:.0%} to {high:.0%}"
    yield "those left, read by hand", f"[MUTANTS.md](MUTANTS.md), {len(left)}"


def _copy(folder: Path) -> Path:
    """A checkout to change: the tests find what is beside them."""
    for name in ("pipeline", "tests", "site_templates", "data"):
        skipped = shutil.ignore_patterns("__pycache__", "node_modules")
        shutil.copytree(ROOT / name, folder / name, ignore=skipped)
    for name in ("pyproject.toml", "requirements.txt", "README.md"):
        shutil.copy(ROOT / name, folder / name)
    return folder


def _survives(mutant: Mutant | None, free: SimpleQueue[Path]) -> bool:
    """Whether every test passes; the cheap ones are asked first."""
    folder = free.get()
    try:
        if mutant is not None:
            (folder / mutant.module).write_text(mutant.source, encoding="utf-8")
        return all(_passes(folder, chosen) for chosen in (f"not ({DEAR})", DEAR))
    finally:
        if mutant is not None:
            shutil.copy(ROOT / mutant.module, folder / mutant.module)
        free.put(folder)


def _passes(folder: Path, chosen: str) -> bool:
    asked = ("-q", "-x", "-p", "no:cacheprovider", *TESTS, "-k", chosen)
    own = {"PYTHONPATH": str(folder / "pipeline"), "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        done = subprocess.run(
            [sys.executable, "-m", "pytest", *asked],
            cwd=folder,
            env={**os.environ, **own},
            capture_output=True,
            timeout=LONGEST_S,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return False
    return done.returncode == 0


def _write(left: Sequence[Mutant], how_many: int) -> None:
    """The table of those left, with what was said of them before."""
    known = _remarks()
    numbers = count(1)
    rows = [
        f"| {next(numbers)} | `{mutant.module.removeprefix('pipeline/trialpress/')}` | "
        f"{mutant.change} | {known.get(mutant.change, '')} |"
        for mutant in sorted(left, key=lambda mutant: (mutant.module, mutant.line))
    ]
    text = HEAD.format(how_many=how_many, seed=SEED) + "".join(f"{row}\n" for row in rows)
    TABLE.write_text(text, encoding="utf-8")


def _remarks() -> dict[str, str]:
    """What stands in the last column, by the change it is about."""
    if not TABLE.is_file():
        return {}
    cells = [line.split(" | ") for line in TABLE.read_text("utf-8").splitlines()]
    return {row[2]: row[3].removesuffix(" |") for row in cells if len(row) == COLUMNS}
