"""Programs that are killed at random moments, as by a power cut."""

from __future__ import annotations

import json
import os
import random
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from flow.benches import SMALL

PIPELINE = Path(__file__).parents[2] / "pipeline"
USUAL_MOMENTS = 2
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
import json, os, signal, socket, sys, time
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from trialpress.bench import Bench
from trialpress.cli import main
from trialpress.desk import adopt, catalogue, publish, tidy
from trialpress.flow import Order, Output, build
place, bench = sys.argv[1:]
with TemporaryDirectory() as out:
    build(Order(Bench(Path(bench)), date(2031, 5, 1), Path(out), tuple(Output), lambda _: None))
asked = socket.socket(socket.AF_UNIX)
asked.bind(place)
asked.listen()
print("ready", flush=True)
while True:
    asking, _ = asked.accept()
    sent, streams, _, _ = socket.recv_fds(asking, 1 << 16, 3)
    order = json.loads(sent)
    child = os.fork()
    if child == 0:
        for stream, given in enumerate(streams):
            os.dup2(given, stream)
        os.chdir(order["folder"])
        os.environ.update(order["environment"])
        sys.argv = ["trialpress", *order["arguments"]]
        sys.exit(main())
    for given in streams:
        os.close(given)
    if order["after_s"] is not None:
        time.sleep(order["after_s"])
        os.kill(child, signal.SIGKILL)
    asking.send(str(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])).encode())
    asking.close()
"""
PROGRAM = """
import json, os, socket, sys
order = dict(arguments=sys.argv[1:], folder=os.getcwd(), environment=dict(os.environ), after_s=None)
with socket.socket(socket.AF_UNIX) as asking:
    asking.connect({place!r})
    socket.send_fds(asking, [json.dumps(order).encode()], [0, 1, 2])
    sys.exit(int(asking.recv(16)))
"""


class Commands:
    """Commands in processes of their own, forked off one that has built a site already.

    So kills fall on what a command does, and not on the start of Python and its libraries.
    """

    def __init__(self, folder: Path) -> None:
        self._place = str(folder / "commands")
        self._forking = subprocess.Popen(
            [sys.executable, "-c", FORKING, self._place, str(SMALL)],
            env=environment(),
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self._forking.stdout is not None
        assert self._forking.stdout.readline() == "ready\n"

    def run(self, *arguments: str, folder: Path, **more: str) -> int:
        """Run a command to its end; its exit status."""
        return self._order(arguments, folder, None, more)

    def kill(self, *arguments: str, folder: Path, after_s: float, **more: str) -> int:
        """Begin a command and kill it; negative where the kill came before its end."""
        return self._order(arguments, folder, after_s, more)

    def write_program(self, file: Path) -> None:
        """Write a program that does what it is asked as ``trialpress`` does."""
        asking = file.with_suffix(".py")
        asking.write_text(PROGRAM.format(place=self._place), encoding="utf-8")
        file.write_text(f'#!/bin/sh\nexec "{sys.executable}" -SE "{asking}" "$@"\n')
        file.chmod(0o755)

    def stop(self) -> None:
        """End the process that forks."""
        self._forking.kill()
        self._forking.communicate()

    def _order(
        self, arguments: tuple[str, ...], folder: Path, after_s: float | None, more: dict[str, str]
    ) -> int:
        order = {"arguments": arguments, "folder": str(folder), "after_s": after_s}
        with (
            Path(os.devnull).open("r+b") as nowhere,
            socket.socket(socket.AF_UNIX) as asking,
        ):
            asking.connect(self._place)
            sent = json.dumps(order | {"environment": more}).encode()
            socket.send_fds(asking, [sent], [nowhere.fileno()] * 3)
            return int(asking.recv(16))
