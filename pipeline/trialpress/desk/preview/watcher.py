"""Watches a bench, looks at what was saved, and has the site built anew by another process.

In:  a bench folder, a folder for what is built, the date as a function, the broadcast.
Out: events, broadcast; the newest good site in the folder.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date, datetime
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Self

from trialpress.bench import Bench, Snapshot, snapshot
from trialpress.cache import Cache, keeping
from trialpress.desk.measured import BenchState, changed_cells, read_state
from trialpress.desk.preview.events import Broadcast, Event, EventKind
from trialpress.desk.preview.site_files import Ahead
from trialpress.desk.sheet.choices import Choices, read_choices
from trialpress.errors import FaultyDataError, TrialpressError
from trialpress.flow import Order, Output, build
from trialpress.intake import Finding
from trialpress.products import Products
from trialpress.site import MadePage, PageInView

POLL_S = 0.25
POLITE = 10
LONGEST_LOOK_S = 60.0


@dataclass(frozen=True)
class BuildTask:
    """One build for the other process; ``in_view`` is the page to be made first."""

    bench: Bench
    as_of: date
    out: Path
    cache: Cache
    in_view: str | None


@dataclass
class Watcher:
    """The two threads of a preview.

    ``state`` is the last one without errors, ``choices`` what the bench sheet makes of it; both may
    be None. ``findings`` are those of the last reading of all; ``poll_s`` is how long to wait, in
    seconds, before looking whether a file was saved. ``in_view`` is the file of the page that was
    asked for last, ``ahead`` the page that is made already of a site that is being built, ``whole``
    is set where none is, so that all that is served is of one build.
    """

    bench: Bench
    out: Path
    as_of: Callable[[], date]
    broadcast: Broadcast
    now: Callable[[], datetime] | None = None
    cache: Cache = field(default_factory=Cache)
    state: BenchState | None = None
    choices: Choices | None = None
    findings: tuple[Finding, ...] = ()
    poll_s: float = POLL_S
    in_view: str | None = None
    ahead: Ahead = field(default_factory=Ahead)
    whole: threading.Event = field(default_factory=threading.Event)
    _has_built: bool = False
    _watcher: threading.Thread | None = None
    _wanted: threading.Event = field(default_factory=threading.Event)
    _stopped: threading.Event = field(default_factory=threading.Event)

    def __post_init__(self) -> None:
        self.whole.set()

    @property
    def site(self) -> Path:
        """The newest good site: of this preview, of the one before, or of the last build."""
        own, built = self.out / "site", self.bench.root / "build" / "site"
        return own if own.is_dir() or not built.is_dir() else built

    @property
    def is_old(self) -> bool:
        """Whether the site is from before this preview began."""
        return not self._has_built

    def start(self) -> None:
        """Begin to watch and to build."""
        self._watcher = threading.Thread(target=self._watch, name="watch", daemon=True)
        self._watcher.start()
        threading.Thread(target=self._build, name="build", daemon=True).start()

    def stop(self) -> None:
        """End both threads; a build that is half done leaves the last site as it is.

        The data are read to their end, as its database must not be cut off. A watcher that
        had no time to begin ends by itself.
        """
        self._stopped.set()
        self._wanted.set()
        if self._watcher is not None and self._watcher.is_alive():
            self._watcher.join(LONGEST_LOOK_S)

    def _watch(self) -> None:
        seen: Snapshot | None = None
        while not self._stopped.is_set():
            now = snapshot(self.bench)
            if now != seen:
                seen = now
                with keeping(self.cache):
                    state = self._read_state()
                if not state.errors:
                    self._wanted.set()
            self._stopped.wait(self.poll_s)

    def _read_state(self) -> Event:
        state = read_state(self.bench, self.now() if self.now else None)
        cells = changed_cells(self.state, state) if self.state else ()
        self.findings = state.findings
        if state.store is not None:
            self.state, self.choices = state, read_choices(state)
        checked_event = Event(EventKind.CHECKED, state.findings, cells)
        self.broadcast.send(checked_event)
        return checked_event

    def _build(self) -> None:
        with _Builder() as builder:
            while True:
                self._wanted.wait()
                if self._stopped.is_set():
                    return
                self._wanted.clear()
                self.broadcast.send(Event(EventKind.BUILDING))
                task = BuildTask(self.bench, self.as_of(), self.out, self.cache, self.in_view)
                words = builder.build(task, self._show)
                number, self.ahead = self.ahead.number, Ahead(self.ahead.number)
                self.whole.set()
                if words == FAULTY:
                    continue  # the event of what was saved names the faults
                self._has_built = self._has_built or words is None
                kind = EventKind.BUILT if words is None else EventKind.FAILED
                self.broadcast.send(Event(kind, words=words or "", build=number))

    def _show(self, made: MadePage) -> None:
        """Serve a page of the next site, while the rest is being made."""
        self.whole.clear()
        self.ahead = Ahead(self.ahead.number + 1, made)
        self.broadcast.send(Event(EventKind.AHEAD, words=made.url, build=self.ahead.number))


BuilderAnswer = str | MadePage | None
"""What the other process says: a page of the next site, and at the end None or what failed."""
TRIES = 2
FAULTY = "the data have faults"


class _Builder:
    """A process that has imported everything already and builds one site after the other."""

    def __init__(self) -> None:
        self._begin()

    def _begin(self) -> None:
        context = multiprocessing.get_context("spawn")
        self._ours, theirs = context.Pipe()
        self._process = context.Process(target=_work, args=(theirs,), daemon=True)
        self._process.start()
        theirs.close()

    def build(self, task: BuildTask, show: Callable[[MadePage], None]) -> str | None:
        """Build; None, or why it could not be done. What is made first is shown meanwhile."""
        for _ in range(TRIES):
            try:
                self._ours.send(task)
                answer: BuilderAnswer = self._ours.recv()
                while isinstance(answer, MadePage):
                    show(answer)
                    answer = self._ours.recv()
            except (EOFError, OSError):
                self._begin()
            else:
                return answer
        return "The process that builds the site ended twice. Save a file to have it built again."

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._process.kill()


def _end_with_parent() -> None:
    """End this process when the preview has ended, however that ended."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)  # at once: what is half built is swept away by the next build


def _work(tasks: Connection[BuilderAnswer, BuildTask]) -> None:
    threading.Thread(target=_end_with_parent, name="end", daemon=True).start()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the preview itself ends this process
    if hasattr(os, "nice"):
        os.nice(POLITE)  # findings of a saved file come before the next site
    while True:
        try:
            task = tasks.recv()
        except EOFError:
            return
        words = _words_of_build(task, tasks)
        with suppress(BrokenPipeError):  # nobody is there to be told
            tasks.send(words)


def _words_of_build(task: BuildTask, tasks: Connection[BuilderAnswer, BuildTask]) -> str | None:
    in_view = PageInView(task.in_view, tasks.send) if task.in_view else None
    outputs, products = (Output.SITE,), Products(task.cache)
    try:
        build(
            Order(task.bench, task.as_of, task.out, outputs, lambda _: None, (), products, in_view)
        )
    except FaultyDataError:
        return FAULTY
    except TrialpressError as error:
        return str(error)
    return None
