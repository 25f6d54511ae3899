"""Programs that are killed at random moments, as by a power cut."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

PIPELINE = Path(__file__).parents[2] / "pipeline"
USUAL_MOMENTS = 3
MOMENTS = int(os.environ.get("TRIALPRESS_KILLS", USUAL_MOMENTS))  # a program; audits ask for more


def environment(**more: str) -> dict[str, str]:
    kept = {"XDG_CACHE_HOME": os.environ["XDG_CACHE_HOME"]}
    return {"PYTHONPATH": str(PIPELINE), "PATH": "/usr/bin:/bin", **kept, **more}


def moments(longest_s: float) -> Iterator[float]:
    """Random moments; the seed is fixed, but what they fall on depends on the machine."""
    chance = random.Random(20310316)  # noqa: S311  no secret
    for _ in range(MOMENTS):
        yield chance.uniform(0.05, longest_s)


def killed(arguments: list[str], folder: Path, after_s: float, **more: str) -> str:
    """Start Python, kill it a while after its first line, and give back what it printed then."""
    with subprocess.Popen(
        [sys.executable, *arguments],
        cwd=folder,
        env=environment(PYTHONUNBUFFERED="1", **more),
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "begun\n"  # however long Python takes to start
        time.sleep(after_s)
        process.kill()
        return process.stdout.read()


FORKING = """
import json, os, signal, sys, time
from trialpress.cli import main
for line in sys.stdin:
    order = json.loads(line)
    child = os.fork()
    if child == 0:
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in range(3):
            os.dup2(nowhere, stream)
        os.chdir(order["folder"])
        os.environ.update(order["environment"])
        sys.argv = ["trialpress", *order["arguments"]]
        sys.exit(main())
    if order["after_s"] is not None:
        time.sleep(order["after_s"])
        os.kill(child, signal.SIGKILL)
    print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
"""


class Commands:
    """Commands in processes of their own, forked off one that has imported what they need.

    So kills fall on what a command does, and seldom on the start of Python.
    """

    def __init__(self) -> None:
        self._forking = subprocess.Popen(
            [sys.executable, "-c", FORKING],
            env=environment(),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def run(self, *arguments: str, folder: Path, **more: str) -> int:
        """Run a command to its end; its exit status."""
        return self._order(arguments, folder, None, more)

    def kill(self, *arguments: str, folder: Path, after_s: float, **more: str) -> int:
        """Begin a command and kill it; negative where the kill came before its end."""
        return self._order(arguments, folder, after_s, more)

    def stop(self) -> None:
        """End the process that forks."""
        self._forking.communicate()

    def _order(
        self, arguments: tuple[str, ...], folder: Path, after_s: float | None, more: dict[str, str]
    ) -> int:
        assert self._forking.stdin is not None
        assert self._forking.stdout is not None
        order = {"arguments": arguments, "folder": str(folder), "after_s": after_s}
        self._forking.stdin.write(json.dumps(order | {"environment": more}) + "\n")
        self._forking.stdin.flush()
        return int(self._forking.stdout.readline())
