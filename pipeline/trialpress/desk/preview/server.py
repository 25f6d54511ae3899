"""The preview's web server, for this machine alone.

In:  requests to 127.0.0.1.
Out: the newest site with a live bar, the working pages beside it, a stream of what happens.
"""

from __future__ import annotations

import json
import queue
import sys
from collections.abc import Callable
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from trialpress.desk.preview.adopting_page import MOST_FILE_BYTES, AdoptingPage
from trialpress.desk.preview.catalogue_page import CataloguePage
from trialpress.desk.preview.grading_page import GradingPage
from trialpress.desk.preview.origin import SESSION, OriginCheck, Refusal, new_origin_check
from trialpress.desk.preview.pages import Pages, WorkingPage, json_answer
from trialpress.desk.preview.questions import BenchSheet
from trialpress.desk.preview.site_files import Answer, is_data, sheet_file, site_answer, site_page
from trialpress.desk.preview.watcher import Watcher
from trialpress.errors import FaultyDataError, OutsideWorldError, TrialpressError

ADDRESS = "127.0.0.1"
SHEET = "/sheet"
EVENTS = "/sheet/events"
SCREEN = "/screen"
CATALOGUE = "/catalogue"
ADOPTING = "/adopting"
GRADING = "/grading"
PLAIN = "text/plain; charset=utf-8"
HEADERS = {
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "Content-Security-Policy": "default-src 'self'; img-src 'self' data:; font-src 'self' data:; "
    "object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
}
_HEARTBEAT_S = 10.0
_LONGEST_BUILD_S = 60.0


class PortTakenError(OutsideWorldError):
    """Another program answers at the port."""

    def __init__(self, port: int, reason: OSError) -> None:
        super().__init__(
            f"Port {port} of this machine cannot be had: {reason.strerror or reason}. "
            "Choose another with --port, or --port 0 for any that is free."
        )


class PagesServer(ThreadingHTTPServer):
    """What one request needs of its server: pages, and who may have them."""

    daemon_threads = True
    allow_reuse_address = True
    request_queue_size = 64  # with the usual 5, what a page asks for at once may wait a second
    watcher: Watcher
    pages: Pages
    origin_check: OriginCheck

    def has_ended(self) -> bool:
        """Whether nobody is answered any more."""
        return False

    def handle_error(self, request: object, client_address: object) -> None:
        """Pass over browsers that hang up; anything else is a fault of ours and is shown."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)  # type: ignore[arg-type]


class PreviewServer(PagesServer):
    """Serves what one watcher has built until it is shut down."""

    def __init__(self, watcher: Watcher, port: int) -> None:
        try:
            super().__init__((ADDRESS, port), Handler)
        except (OSError, OverflowError) as error:
            reason = error if isinstance(error, OSError) else OSError(str(error))
            raise PortTakenError(port, reason) from error
        self.watcher = watcher
        self.pages = Pages(working_pages(watcher))
        self.origin_check = new_origin_check(self.server_port)

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


def working_pages(watcher: Watcher) -> tuple[WorkingPage, ...]:
    """Every page beside the site, in the order of the list of pages."""
    sheet = BenchSheet(watcher)
    grading, screen = GradingPage(sheet), {"state": sheet.screen.answer}
    return (
        WorkingPage(
            SHEET,
            "sheet.html",
            "Bench sheet",
            parts=("sheet.js", "waiting.js", "gone.js", "meters.js"),
            questions=sheet.questions,
            is_for_phones=True,
        ),
        WorkingPage(SCREEN, "screen.html", parts=("screen.css", "screen.js"), readings=screen),
        WorkingPage(
            GRADING,
            "grading.html",
            "Blind grading",
            parts=("grading.css", "grading.js"),
            questions=grading.questions,
            readings=grading.readings,
            is_for_phones=True,
            is_live=False,
        ),
        WorkingPage(
            CATALOGUE,
            "catalogue.html",
            "Catalogue",
            parts=("catalogue.css", "catalogue.js"),
            questions=CataloguePage(watcher).questions,
        ),
        WorkingPage(
            ADOPTING,
            "adopting.html",
            "Old spreadsheets",
            parts=("adopting.css", "adopting.js"),
            questions=AdoptingPage(watcher).questions,
            most_bytes=MOST_FILE_BYTES,
        ),
    )


class Handler(BaseHTTPRequestHandler):
    """One request."""

    server: PagesServer
    server_version = "Trialpress"
    sys_version = ""
    protocol_version = "HTTP/1.1"
    timeout = 60

    def do_GET(self) -> None:
        """Pages, their parts, and the stream of events."""
        path, pages = self.path.partition("?")[0], self.server.pages
        if refusal := self.server.origin_check.refuse(self.headers):
            self._refuse(refusal)
        elif inside := self.server.origin_check.begins(self.path):
            self._begin_session(inside)
        elif path.startswith("/sheet/") and path.removeprefix("/sheet/") in pages.parts:
            self._send(sheet_file(path.removeprefix("/sheet/")))
        elif path == EVENTS or pages.page_at(path) or pages.reading_at(path):
            self._answer_tester(path)
        else:
            self._answer_reader()

    def _answer_reader(self) -> None:
        """A file of the site; the page that was asked for last is made first by the next build.

        What its scripts ask for waits until the site is whole, so that it is of the same build.
        """
        watcher = self.server.watcher
        if is_data(self.path):
            watcher.whole.wait(_LONGEST_BUILD_S)
        site = watcher.site
        watcher.in_view = site_page(site, self.path) or watcher.in_view
        self._send(site_answer(site, self.path, is_old=watcher.is_old, ahead=watcher.ahead))

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
        check, pages = self.server.origin_check, self.server.pages
        page, reading = pages.page_at(path), pages.reading_at(path)
        if refusal := check.refuse_sheet(self.headers):
            self._send(Answer(refusal.status, PLAIN, refusal.words.encode()))
        elif page is not None:
            self._send(pages.html(page, check.token))
        elif reading is not None:
            self._answer(lambda: reading(self.path.partition("?")[2]))
        else:
            self._stream()

    def do_POST(self) -> None:
        """A question of one of the pages."""
        question, most_bytes = self.server.pages.question_at(self.path)
        if refusal := self.server.origin_check.refuse_post(self.headers, most_bytes):
            self.close_connection = True  # its body is not read
            self._refuse(refusal)
            return
        body = self.rfile.read(int(self.headers["Content-Length"]))
        if question is None:
            self._refuse(Refusal(404, "There is no such question."))
            return
        try:
            sent = _parsed(body)
        except (ValueError, RecursionError):
            self._refuse(Refusal(400, "What was sent is no JSON that a page of ours could send."))
            return
        self._answer(lambda: json_answer(question(sent)))

    def _answer(self, work: Callable[[], Answer]) -> None:
        """What the work gives, or why it gives nothing."""
        try:
            self._send(work())
        except FaultyDataError as error:
            self._refuse(Refusal(422, str(error)))
        except TrialpressError as error:
            self._refuse(Refusal(500 if isinstance(error, OutsideWorldError) else 400, str(error)))

    def _stream(self) -> None:
        """Events as they come, until the page is closed."""
        self.close_connection = True
        self.send_response(200)
        self._send_headers("text/event-stream")
        self.end_headers()
        with self.server.watcher.broadcast.listening() as events:
            try:
                while not self.server.has_ended():
                    try:
                        message = f"data: {events.get(timeout=_HEARTBEAT_S).as_json()}\n\n"
                    except queue.Empty:
                        message = ": still here\n\n"
                    self.wfile.write(message.encode())
                    self.wfile.flush()
            except OSError:
                return

    def _refuse(self, refusal: Refusal) -> None:
        self._send(json_answer({"problem": refusal.words}, refusal.status))

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
