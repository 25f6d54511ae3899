"""A preview that neither watches nor builds, and what asks it as the bench sheet does."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from http.client import HTTPConnection

from trialpress.bench import Bench
from trialpress.desk.measured import BenchState, read_state
from trialpress.desk.preview.events import Broadcast
from trialpress.desk.preview.server import PagesServer, PreviewServer
from trialpress.desk.preview.watcher import Watcher
from trialpress.desk.sheet.choices import read_choices

DAY = "2031-03-16-hall"
RUN = {
    "run": "new-01",
    "at": f"{DAY[:10]}T19:00",
    "setup": "one-stock",
    "protocol": "pickup",
    "version": "2",
    "replicate": "2",
    "instrument": "balance",
    "dose_g": "20.0",
    "dose_by": "reading",
    "dose_instrument": "balance",
    "before_g": "260.0",
    "after_g": "278.0",
    "status": "valid",
}


@contextmanager
def still_preview(bench: Bench, state: BenchState | None = None) -> Iterator[PreviewServer]:
    """A preview of a bench as it is now, or of a copy of one that was read before."""
    watcher = Watcher(
        bench, bench.root / "build" / "preview", lambda: date.max, Broadcast(lambda _: None)
    )
    watcher.state = state or read_state(bench)
    watcher.choices = read_choices(watcher.state)
    with PreviewServer(watcher, 0) as served:
        threading.Thread(target=served.serve_forever, kwargs={"poll_interval": 0.02}).start()
        yield served
        served.shutdown()


class Asking:
    """Asks as the bench sheet does, but for what a test changes."""

    def __init__(self, server: PagesServer, address: str = "127.0.0.1") -> None:
        self.address = address
        self.port = server.server_port
        self.token = server.origin_check.token

    def __call__(
        self, path: str, content: object = None, **headers: str | None
    ) -> tuple[int, bytes, dict[str, str]]:
        body = None if content is None else json.dumps(content).encode()
        return self.send(path, body, **headers)

    def send(
        self, path: str, body: bytes | None, **headers: str | None
    ) -> tuple[int, bytes, dict[str, str]]:
        """Send bytes; without any it is a question for a page."""
        connection = HTTPConnection(self.address, self.port, timeout=30)
        own = {"Host": f"{self.address}:{self.port}"}
        if body is not None:
            own |= {
                "Origin": f"http://{self.address}:{self.port}",
                "Content-Type": "application/json",
                "X-Trialpress-Session": self.token,
            }
        changed = {name.replace("_", "-"): text for name, text in headers.items()}
        sent = {name: text for name, text in {**own, **changed}.items() if text is not None}
        connection.request("GET" if body is None else "POST", path, body, sent)
        answer = connection.getresponse()
        result = (answer.status, answer.read(), dict(answer.getheaders()))
        connection.close()
        return result


def draft(**changes: str) -> dict[str, object]:
    return {"day": DAY, "table": "weighings", "rows": [{**RUN, **changes}]}
