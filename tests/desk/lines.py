"""The far end of a serial line, over a pseudo-terminal: what a meter does."""

from __future__ import annotations

import os
import threading
import tty
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import cycle

Sent = tuple[float, bytes]


class Line:
    """The far end of a serial line: what a meter does."""

    def __init__(self) -> None:
        self._meter, self._ours = os.openpty()
        tty.setraw(self._ours)
        self.port = os.ttyname(self._ours)
        self._ended = threading.Event()
        self._sending: threading.Thread | None = None

    def send(self, *sent: Sent) -> None:
        """Send bytes after so many seconds each, again and again, as nobody knows who listens."""

        def work() -> None:
            for after_s, data in cycle(sent):
                if self._ended.wait(after_s):
                    return
                os.write(self._meter, data)

        self._sending = threading.Thread(target=work, daemon=True)
        self._sending.start()

    def unplug(self) -> None:
        """End it, as when the cable is pulled."""
        if self._ended.is_set():
            return
        self._ended.set()
        if self._sending is not None:
            self._sending.join()
        os.close(self._meter)
        os.close(self._ours)


@contextmanager
def far_end() -> Iterator[Line]:
    """A line that is there until the context ends, if nobody unplugs it."""
    made = Line()
    yield made
    made.unplug()
