"""The bench sheet on a phone in the same room: one private address, a secret of its own, 12 hours.

In:  the address that ``--phone`` names, the preview that runs, the clock.
Out: a second server with the pages that are for phones, and its address as a picture to scan.
     Nothing but those pages and their looks is there, and only for who has scanned the picture.
"""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from html import escape
from http import HTTPStatus
from ipaddress import AddressValueError, IPv4Address, IPv4Network
from socket import socket

from trialpress.desk.preview.origin import SESSION, Refusal, new_origin_check
from trialpress.desk.preview.pages import Pages
from trialpress.desk.preview.server import EVENTS, PLAIN, SHEET, Handler, PagesServer, PreviewServer
from trialpress.desk.preview.site_files import Answer, site_answer
from trialpress.errors import OutsideWorldError, UsageError

LASTS = timedelta(hours=12)
STATIC = "/static/"
PRIVATE = tuple(map(IPv4Network, ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16")))
"""Networks that nobody outside can address (RFC 1918)."""
Request = socket | tuple[bytes, socket]
"""As the library's servers type it."""
MOST_AT_ONCE, MOST_OF_ONE = 200, 20
"""Connections, each a thread and a descriptor of the preview; a browser opens some six."""
_QUIET_MODULES = 4
"""The light border of a code to scan (ISO/IEC 18004)."""
_HALVES = {(0, 0): "\u2588", (0, 1): "\u2580", (1, 0): "\u2584", (1, 1): " "}
"""Two modules, one above the other, dark or not, as a character that draws the light ones."""
_SCAN = (
    "Scan the picture that trialpress preview shows in its terminal and on its bench sheet. "
    "It is another one each time, and lets nobody else in."
)


class NotPrivateError(UsageError):
    """The address is none that only a network at home has."""

    def __init__(self, address: str) -> None:
        super().__init__(
            f"{address} is no private address of a network at home, such as 192.168.1.20: those "
            "begin with 10., 172.16. to 172.31. or 192.168. Give this machine's own address in the "
            "network that the phone is in."
        )


class NotOursError(OutsideWorldError):
    """The machine does not have the address, or another program answers there."""

    def __init__(self, address: str, port: int, reason: OSError) -> None:
        super().__init__(
            f"At {address}, port {port}, this machine cannot answer: {reason.strerror or reason}. "
            "Its own addresses stand in its network settings; another port is chosen with --port."
        )


def private_address(typed: str) -> str:
    """An address that a phone in the same network reaches, and nobody outside it.

    Raises
    ------
    NotPrivateError
        If it is public, names no one network, or is no address at all.
    """
    try:
        address = IPv4Address(typed)
    except AddressValueError:
        raise NotPrivateError(typed) from None
    if not any(address in network for network in PRIVATE):
        raise NotPrivateError(typed)
    return str(address)


class PhoneServer(PagesServer):
    """Serves a preview's pages for phones at one address, for 12 hours from now."""

    def __init__(self, preview: PreviewServer, address: str, clock: Callable[[], datetime]) -> None:
        try:
            super().__init__((address, preview.server_port), _PhoneHandler)
        except OSError as error:
            raise NotOursError(address, preview.server_port, error) from error
        self.watcher = preview.watcher
        self.pages = Pages([page for page in preview.pages.pages if page.is_for_phones])
        self.origin_check = new_origin_check(preview.server_port, (address,), _SCAN)
        self._open, self._counting = Counter[str](), threading.Lock()
        self._clock = clock
        self.ends_at = clock() + LASTS
        preview.pages = replace(preview.pages, aside=picture_html(self.url))

    @property
    def url(self) -> str:
        """What the picture says: whoever opens it may write rows."""
        check = self.origin_check
        return f"http://{check.hosts[0]}{SHEET}?{SESSION}={check.token}"

    def has_ended(self) -> bool:
        """Whether the 12 hours are over."""
        return self._clock() >= self.ends_at

    @property
    def connections(self) -> int:
        """How many are open now."""
        with self._counting:
            return self._open.total()

    def process_request(self, request: Request, client_address: tuple[str, int]) -> None:
        """Answer a connection, unless its device or all of them have enough: then it is closed."""
        address = client_address[0]
        with self._counting:
            has_room = self._open[address] < MOST_OF_ONE and self._open.total() < MOST_AT_ONCE
            self._open[address] += has_room
        if has_room:
            super().process_request(request, client_address)
        else:
            self.shutdown_request(request)

    def process_request_thread(self, request: Request, client_address: tuple[str, int]) -> None:
        """Count a connection until it is closed."""
        try:
            super().process_request_thread(request, client_address)
        finally:
            with self._counting:
                self._open[client_address[0]] -= 1


class _PhoneHandler(Handler):
    """One request of a phone: without the secret there is nothing to see."""

    server: PhoneServer

    def do_GET(self) -> None:  # noqa: N802  the library's name
        """Pages for phones, their parts and looks, and the stream of events."""
        check, path = self.server.origin_check, self.path.partition("?")[0]
        refusal = self._ended() or check.refuse(self.headers)
        if refusal is None and check.begins(self.path):
            self._begin_session(SHEET)
        elif refusal := refusal or check.refuse_sheet(self.headers):
            self._send(Answer(refusal.status, PLAIN, refusal.words.encode()))
        elif path == "/":
            self._begin_session(SHEET)
        elif self._is_working(path):
            super().do_GET()
        else:
            self._send(self._looks(path))

    def do_POST(self) -> None:  # noqa: N802  as above
        """A question of one of the pages, within the 12 hours."""
        if refusal := self._ended():
            self.close_connection = True  # its body is not read
            self._refuse(refusal)
        else:
            super().do_POST()

    def _ended(self) -> Refusal | None:
        words = "The 12 hours of this phone are over. Start trialpress preview --phone again."
        return Refusal(403, words) if self.server.has_ended() else None

    def _is_working(self, path: str) -> bool:
        pages = self.server.pages
        is_part = path.startswith("/sheet/") and path.removeprefix("/sheet/") in pages.parts
        return bool(is_part or path == EVENTS or pages.page_at(path) or pages.reading_at(path))

    def _looks(self, path: str) -> Answer:
        """Fonts, colours and pictures of the site, and nothing else of it."""
        if path.startswith(STATIC):
            looks = site_answer(self.server.watcher.site, path)
            if looks.status == HTTPStatus.OK:
                return looks
        words = "On a phone there are the bench sheet and blind grading alone: open /sheet."
        return Answer(404, PLAIN, words.encode())


def picture_lines(url: str) -> list[str]:
    """An address as lines to scan from a dark terminal; phones read them from a light one too."""
    import segno  # noqa: PLC0415  few have a phone at the bench

    rows = [list(row) for row in segno.make_qr(url).matrix_iter(border=_QUIET_MODULES)]
    rows += [[0] * len(rows[0])] * (len(rows) % 2)
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return ["".join(_HALVES[up, down] for up, down in zip(*pair, strict=True)) for pair in pairs]


def picture_html(url: str) -> str:
    """An address as a picture to scan from a page, folded away."""
    import segno  # noqa: PLC0415  as above

    data = escape(segno.make_qr(url).svg_data_uri(scale=6, border=_QUIET_MODULES, light="#fff"))
    return (
        '<details class="phone"><summary>On a phone</summary>'
        f'<img src="{data}" alt="A code to scan: it opens the bench sheet on a phone.">'
        "<p>Scan it with a phone in the same network. Whoever has it can add rows, for 12 hours; "
        "what is sent can be read in that network, so use one that is your own.</p></details>"
    )
