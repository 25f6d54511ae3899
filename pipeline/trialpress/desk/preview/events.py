"""What happened in a preview, and everybody who listens.

In:  events, from the thread that watches and the one that builds.
Out: the same events in a queue a listener; the last of each kind for those who come later.
"""

from __future__ import annotations

import json
import queue
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from enum import StrEnum

from trialpress.intake import Finding, Severity

MOST_FINDINGS = 50
_LONGEST_QUEUE = 100


class EventKind(StrEnum):
    """What happened."""

    CHECKED = "looked"  # a file was saved, read and checked
    BUILDING = "building"
    AHEAD = "ahead"  # the page in view is made, and the rest is being made
    BUILT = "built"
    FAILED = "failed"  # the site could not be built; the last good one stays


@dataclass(frozen=True)
class Event:
    """One thing that happened; ``cells`` and ``words`` are sentences.

    Of what is made ahead, ``words`` is the file of the page, and ``build`` numbers the build.
    """

    kind: EventKind
    findings: tuple[Finding, ...] = ()
    cells: tuple[str, ...] = ()
    words: str = ""
    build: int = 0

    @property
    def errors(self) -> int:
        """How many of the findings stop the build."""
        return sum(finding.severity is Severity.ERROR for finding in self.findings)

    def as_json(self) -> str:
        """The event for a page or a program, on one line; a long list of findings is cut."""
        return json.dumps(
            {
                "kind": self.kind.value,
                "errors": self.errors,
                "warnings": len(self.findings) - self.errors,
                "findings": [finding.as_json() for finding in self.findings[:MOST_FINDINGS]],
                "cells": self.cells,
                "words": self.words,
                "build": self.build,
            },
            ensure_ascii=False,
        )


@dataclass
class Broadcast:
    """Hands every event to ``on_event`` and to each listener."""

    on_event: Callable[[Event], None]
    _last: dict[EventKind, Event] = field(default_factory=dict)
    _listeners: list[queue.Queue[Event]] = field(default_factory=list)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def send(self, event: Event) -> None:
        """Tell everybody; one who stopped listening long ago loses the oldest."""
        with self._lock:
            self._last.pop(event.kind, None)  # so that the latest is the last
            self._last[event.kind] = event
            for listener in self._listeners:
                if listener.full():
                    listener.get_nowait()
                listener.put_nowait(event)
        self.on_event(event)

    @contextmanager
    def listening(self) -> Iterator[queue.Queue[Event]]:
        """A queue of every event from now on.

        It starts with the last reading of the data, and with what is made ahead of a build that is
        not done.
        """
        listener: queue.Queue[Event] = queue.Queue(_LONGEST_QUEUE)
        with self._lock:
            if EventKind.CHECKED in self._last:
                listener.put_nowait(self._last[EventKind.CHECKED])
            of_builds = [kind for kind in self._last if kind is not EventKind.CHECKED]
            if of_builds[-1:] == [EventKind.AHEAD]:
                listener.put_nowait(self._last[EventKind.AHEAD])
            self._listeners.append(listener)
        try:
            yield listener
        finally:
            with self._lock:
                self._listeners.remove(listener)
