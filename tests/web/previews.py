"""A preview of a bench: as a tester starts it, or within the tests' own process.

In:  a bench folder.
Out: its address, and the bench sheet in a browser on one evening.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from playwright.sync_api import Page, expect

from desk.kills import environment
from trialpress.bench import Bench
from trialpress.desk.preview import PreviewServer, Watcher
from trialpress.desk.preview.events import Broadcast
from trialpress.desk.preview.watcher import POLL_S
from web.conftest import PATIENCE_MS, OpenPage

NIGHT = "2031-03-16T19:30:00"
NIGHT_S = str(1_931_462_400)  # the 16th of March 2031, for the commands


class Preview:
    """``trialpress preview`` as a tester starts it; ``said`` is what its terminal shows."""

    def __init__(self, bench: Path) -> None:
        self.terminal = bench / "terminal.txt"
        self._process = subprocess.Popen(
            [sys.executable, "-m", "trialpress.cli", "preview", "--port", "0"],
            cwd=bench,
            env=environment(PYTHONUNBUFFERED="1", SOURCE_DATE_EPOCH=NIGHT_S),
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,
        )
        assert self._process.stdout is not None
        self._lines = self._process.stdout
        self.site, self.sheet = (self._lines.readline().split()[-1] for _ in range(2))
        self.url = self.site.partition("?")[0]

    def wait_for(self, words: str) -> None:
        assert any(words in line for line in self._lines), f"the terminal never said {words}"

    def stop(self) -> None:
        """End it and the process that builds for it at once."""
        os.killpg(self._process.pid, signal.SIGKILL)
        self._process.communicate()


class LookingWorkshop(Watcher):
    """Looks at what is saved, and builds no site."""

    def _build(self) -> None:
        pass


@contextmanager
def looking_preview(bench: Path, as_of: date, poll_s: float = POLL_S) -> Iterator[str]:
    """Where a preview in this process has its sheet, once it has looked at the bench."""
    with looking_server(bench, as_of, poll_s) as served:
        yield served.addresses[1]


@contextmanager
def looking_server(bench: Path, as_of: date, poll_s: float = POLL_S) -> Iterator[PreviewServer]:
    """A preview in this process, once it has looked at the bench."""
    has_looked = threading.Event()
    broadcast = Broadcast(lambda _: has_looked.set())
    out = bench / "build" / "preview"
    watcher = LookingWorkshop(Bench(bench), out, lambda: as_of, broadcast, poll_s=poll_s)
    with PreviewServer(watcher, 0) as served:
        threading.Thread(target=served.serve_forever, kwargs={"poll_interval": 0.02}).start()
        watcher.start()
        try:
            assert has_looked.wait(PATIENCE_MS / 1000)
            yield served
        finally:
            watcher.stop()
            served.shutdown()


def open_sheet(address: str, open_first_page: OpenPage, width: int = 1280) -> Page:
    page = open_first_page("about:blank", width=width)
    page.clock.set_fixed_time(NIGHT)
    page.goto(address)
    expect(page.locator("[data-fields] input").first).to_be_focused()
    return page
