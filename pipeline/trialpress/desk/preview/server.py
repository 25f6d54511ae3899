"""The preview's web server, for this machine alone.

In:  requests to 127.0.0.1.
Out: the newest site with a live bar, the bench sheet, and a stream of what happens.
"""

from __future__ import annotations

import json
import queue
import sys
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from trialpress.desk.preview.origin import SESSION, OriginCheck, Refusal, new_origin_check
from trialpress.desk.preview.questions import BenchSheet
from trialpress.desk.preview.site_files import HTML, Answer, sheet_file, site_answer
from trialpress.desk.preview.watcher import Watcher
from trialpress.errors import FaultyDataError, OutsideWorldError, TrialpressError

ADDRESS = "127.0.0.1"
SHEET = "/sheet"
EVENTS = "/sheet/events"
SCREEN = "/screen"
SCREEN_STATE = "/screen/state"
PRIVATE = (SHEET, EVENTS, SCREEN, SCREEN_STATE)
SHEET_PARTS = ("sheet.css", "sheet.js", "live.css", "live.js", "screen.css", "screen.js")
EMBARGOED = "embargoed"
"""What an address ends with that asks for set-ups under embargo too."""
TOKEN_PLACE = b"{{ token }}"
PLAIN = "text/plain; charset=utf-8"
HEADERS = {
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "Content-Security-Policy": "default-src 'self'; img-src 'self' data:; object-src 'none'; "
    "base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
}
_HEARTBEAT_S = 10.0


class PortTakenError(OutsideWorldError):
    """Another program answers at the port."""

    def __init__(self, port: int, reason: OSError) -> None:
        super().__init__(
            f"Port {port} of this machine cannot be had: {reason.strerror or reason}. "
            "Choose another with --port, or --port 0 for any that is free."
        )


class PreviewServer(ThreadingHTTPServer):
    """Serves what one watcher has built until it is shut down."""

    daemon_threads = True
    allow_reuse_address = True

    def __init__(self, watcher: Watcher, port: int) -> None:
        try:
            super().__init__((ADDRESS, port), _Handler)
        except (OSError, OverflowError) as error:
            reason = error if isinstance(error, OSError) else OSError(str(error))
            raise PortTakenError(port, reason) from error
        self.watcher = watcher
        self.sheet = BenchSheet(watcher)
        self.origin_check: OriginCheck = new_origin_check(self.server_port)

    def handle_error(self, request: object, client_address: object) -> None:
        """Pass over browsers that hang up; anything else is a fault of ours and is shown."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)  # type: ignore[arg-type]

    @property
    def url(self) -> str:
        """Where the site is."""
        return f"http://{ADDRESS}:{self.server_port}/"

    @property
    def addresses(self) -> tuple[str, str, str]:
        """Of site, sheet and screen, for the tester alone: whoever opens one may write rows."""
        session = f"?{SESSION}={self.origin_check.token}"
        site, sheet, screen = (f"{self.url}{path[1:]}{session}" for path in ("/", SHEET, SCREEN))
        return site, sheet, screen


class _Handler(BaseHTTPRequestHandler):
    """One request."""

    server: PreviewServer
    server_version = "Trialpress"
    sys_version = ""
    protocol_version = "HTTP/1.1"
    timeout = 60

    def do_GET(self) -> None:
        """Pages, their parts, and the stream of events."""
        path = self.path.partition("?")[0]
        if refusal := self.server.origin_check.refuse(self.headers):
            self._refuse(refusal)
        elif inside := self.server.origin_check.begins(self.path):
            self._begin_session(inside)
        elif path in PRIVATE:
            self._answer_tester(path)
        elif path.startswith("/sheet/") and path.removeprefix("/sheet/") in SHEET_PARTS:
            self._send(sheet_file(path.removeprefix("/sheet/")))
        else:
            watcher = self.server.watcher
            self._send(site_answer(watcher.site, self.path, is_old=watcher.is_old))

    def _begin_session(self, path: str) -> None:
        """Leave the secret in the browser, and take it out of the address."""
        self.send_response(303)
        self.send_header("Location", path)
        self.send_header("Set-Cookie", self.server.origin_check.begun)
        self.send_header("Content-Length", "0")
        self._send_headers(PLAIN)
        self.end_headers()

    def _answer_tester(self, path: str) -> None:
        """What only the tester's own browser gets."""
        check = self.server.origin_check
        if refusal := check.refuse_sheet(self.headers):
            self._send(Answer(refusal.status, PLAIN, refusal.words.encode()))
        elif path == EVENTS:
            self._stream()
        elif path == SCREEN:
            self._send(sheet_file("screen.html"))
        elif path == SCREEN_STATE:
            is_asked = EMBARGOED in self.path.partition("?")[2].split("&")
            self._send_json(200, self.server.sheet.screen.shown(is_asked=is_asked))
        else:
            page = sheet_file("sheet.html").body
            self._send(Answer(200, HTML, page.replace(TOKEN_PLACE, check.token.encode())))

    def do_POST(self) -> None:
        """A question of the bench sheet."""
        if refusal := self.server.origin_check.refuse_post(self.headers):
            self.close_connection = True  # its body is not read
            self._refuse(refusal)
            return
        body = self.rfile.read(int(self.headers["Content-Length"]))
        question = self.server.sheet.questions.get(self.path.removeprefix("/sheet/"))
        if question is None:
            self._refuse(Refusal(404, "There is no such question."))
            return
        try:
            sent = _parsed(body)
        except (ValueError, RecursionError):
            self._refuse(Refusal(400, "What was sent is no JSON that a run could be."))
            return
        try:
            self._send_json(200, question(sent))
        except FaultyDataError as error:
            self._send_json(422, {"problem": str(error)})
        except TrialpressError as error:
            status = 500 if isinstance(error, OutsideWorldError) else 400
            self._send_json(status, {"problem": str(error)})

    def _stream(self) -> None:
        """Events as they come, until the page is closed."""
        self.close_connection = True
        self.send_response(200)
        self._send_headers("text/event-stream")
        self.end_headers()
        with self.server.watcher.broadcast.listening() as events:
            try:
                while True:
                    try:
                        message = f"data: {events.get(timeout=_HEARTBEAT_S).as_json()}\n\n"
                    except queue.Empty:
                        message = ": still here\n\n"
                    self.wfile.write(message.encode())
                    self.wfile.flush()
            except OSError:
                return

    def _refuse(self, refusal: Refusal) -> None:
        self._send_json(refusal.status, {"problem": refusal.words})

    def _send_json(self, status: int, content: object) -> None:
        body = json.dumps(content, ensure_ascii=False).encode()
        self._send(Answer(status, "application/json", body))

    def _send(self, answer: Answer) -> None:
        self.send_response(answer.status)
        self._send_headers(answer.content_type)
        self.send_header("Content-Length", str(len(answer.body)))
        self.end_headers()
        self.wfile.write(answer.body)

    def _send_headers(self, content_type: str) -> None:
        self.send_header("Content-Type", content_type)
        for name, value in HEADERS.items():
            self.send_header(name, value)

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002
        """Say nothing: what happens is broadcast."""


def _parsed(body: bytes) -> object:
    """What was sent, if it can be written again: half a character cannot.

    Raises
    ------
    ValueError, RecursionError
        If it is no JSON, is too deep, or has a number or a character that is none.
    """
    sent = json.loads(body, parse_constant=_refuse_constant)
    json.dumps(sent, ensure_ascii=False).encode()
    return sent


def _refuse_constant(name: str) -> None:
    raise ValueError(name)
