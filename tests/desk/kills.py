"""Programs that are killed at random moments, as by a power cut."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

PIPELINE = Path(__file__).parents[2] / "pipeline"
MOMENTS = int(os.environ.get("TRIALPRESS_KILLS", "4"))  # a program; `make audit` asks for more


def environment(**more: str) -> dict[str, str]:
    return {"PYTHONPATH": str(PIPELINE), "PATH": "/usr/bin:/bin", **more}


def moments(longest_s: float) -> Iterator[float]:
    """Random moments; the seed is fixed, but what they fall on depends on the machine."""
    chance = random.Random(20310316)  # noqa: S311  no secret
    for _ in range(MOMENTS):
        yield chance.uniform(0.05, longest_s)


def killed(arguments: list[str], folder: Path, after_s: float, **more: str) -> str:
    """Start Python, kill it without warning, and give back what it had printed."""
    with subprocess.Popen(
        [sys.executable, *arguments],
        cwd=folder,
        env=environment(PYTHONUNBUFFERED="1", **more),
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as process:
        assert process.stdout is not None
        time.sleep(after_s)
        process.kill()
        return process.stdout.read()


def trialpress(*arguments: str, folder: Path, **more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "trialpress.cli", *arguments],
        cwd=folder,
        env=environment(**more),
        check=False,
        capture_output=True,
        text=True,
    )
