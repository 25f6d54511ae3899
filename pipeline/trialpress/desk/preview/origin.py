"""Keeps other web pages, and other people on the machine, away from the working pages.

In:  a request's address and headers, the port, and the secret of this session.
Out: why a request is refused, or None. A page elsewhere can make a browser send requests here, but
     it cannot choose Host or Origin, read the secret from a working page, or send JSON unasked.
     Whoever else uses the machine can ask for every page, but has not read the address that was
     printed to the tester alone: opening it leaves the secret in the tester's browser.
"""

from __future__ import annotations

import re
import secrets
from dataclasses import dataclass
from email.message import Message

TOKEN_HEADER = "X-Trialpress-Session"  # noqa: S105  the header's name
SESSION = "session"
THIS_MACHINE = ("127.0.0.1", "localhost")
_LENGTH = re.compile("[0-9]{1,9}")
_PRINTED = (
    "Open one of the addresses that trialpress preview printed when it started. "
    "They are others each time, and let nobody else in."
)


@dataclass(frozen=True)
class Refusal:
    """An HTTP status, and the sentence that goes with it."""

    status: int
    words: str


@dataclass(frozen=True)
class OriginCheck:
    """Knows the port and the secret of one preview, its names, and what lets a browser in."""

    port: int
    token: str
    names: tuple[str, ...] = THIS_MACHINE
    way_in: str = _PRINTED

    @property
    def hosts(self) -> tuple[str, ...]:
        """What the preview may be called."""
        return tuple(f"{name}:{self.port}" for name in self.names)

    def refuse(self, headers: Message) -> Refusal | None:
        """Refuse whatever was not addressed to this machine, such as a name that resolves to it."""
        if headers.get_all("Host") not in [[host] for host in self.hosts]:
            return Refusal(403, f"The preview answers at http://{self.hosts[0]}/ only.")
        return None

    def refuse_post(self, headers: Message, most_bytes: int) -> Refusal | None:
        """Refuse whatever a page of this session did not send, or more than it may."""
        if refusal := self.refuse(headers):
            return refusal
        if not _is_from_here(headers):
            return Refusal(403, "Only the preview's own pages may write.")
        if headers.get_all("Content-Type") != ["application/json"]:
            return Refusal(415, "What is typed is sent as application/json.")
        length = headers.get("Content-Length", "")
        if not _LENGTH.fullmatch(length) or int(length) > most_bytes:
            return Refusal(413, f"At once up to {most_bytes:,} bytes are taken.")
        if not self._knows_token(headers):
            words = "This preview was started anew since the page was loaded. Reload the page."
            return Refusal(403, words)
        return None

    @property
    def cookie(self) -> str:
        """The name of the cookie; another port of this machine is another preview."""
        return f"trialpress-{self.port}"

    def refuse_sheet(self, headers: Message) -> Refusal | None:
        """Refuse a browser in which the address that was printed has not been opened."""
        if self._is_token(self._cookies(headers).get(self.cookie, "")):
            return None
        return Refusal(403, self.way_in)

    def begins(self, target: str) -> str | None:
        """Where an address with the secret in it leads, without it; None for any other address."""
        path, _, query = target.partition("?")
        return path if self._is_token(query.removeprefix(f"{SESSION}=")) else None

    @property
    def begun(self) -> str:
        """The cookie of a session, as a header."""
        return f"{self.cookie}={self.token}; Path=/; HttpOnly; SameSite=Strict"

    @staticmethod
    def _cookies(headers: Message) -> dict[str, str]:
        pairs = (pair.partition("=") for pair in headers.get("Cookie", "").split(";"))
        return {name.strip(): value.strip() for name, _, value in pairs}

    def _knows_token(self, headers: Message) -> bool:
        return self._is_token(headers.get(TOKEN_HEADER, ""))

    def _is_token(self, given: str) -> bool:
        return secrets.compare_digest(given.encode("utf-8", "replace"), self.token.encode())


def _is_from_here(headers: Message) -> bool:
    is_own = headers.get_all("Origin") == [f"http://{headers['Host']}"]
    return is_own and headers.get("Sec-Fetch-Site", "same-origin") == "same-origin"


def new_origin_check(
    port: int, names: tuple[str, ...] = THIS_MACHINE, way_in: str = _PRINTED
) -> OriginCheck:
    """A check with a secret of its own."""
    return OriginCheck(port, secrets.token_urlsafe(32), names, way_in)
