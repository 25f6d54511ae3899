"""A phone has the bench sheet alone, by its own secret, for 12 hours; a run is kept once."""

from __future__ import annotations

import json
import socket
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

import pytest
import segno

from desk.previews import DAY, Asking, draft, still_preview
from flow.benches import SMALL, copy_of_small_bench, files_below
from trialpress.bench import Bench
from trialpress.desk.measured import BenchState
from trialpress.desk.preview.phone import (
    LASTS,
    MOST_OF_ONE,
    NotOursError,
    NotPrivateError,
    PhoneServer,
    picture_lines,
    private_address,
)
from trialpress.desk.preview.server import PreviewServer
from typed import trialpress

OTHER_LOOP = "127.0.0.2"
"""Stands for the address in the network at home, which not every machine has."""
MARK = "0123456789abcdef" * 2


class Evening:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.now = datetime(2031, 3, 16, 19, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def server(tmp_path: Path, state: BenchState) -> Iterator[PreviewServer]:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    with still_preview(bench, state) as served:
        served.watcher.site.mkdir(parents=True)
        (served.watcher.site / "index.html").write_text("<head></head>home", encoding="utf-8")
        yield served


@pytest.fixture
def evening() -> Evening:
    return Evening()


@pytest.fixture
def phones(server: PreviewServer, evening: Evening) -> Iterator[PhoneServer]:
    with PhoneServer(server, OTHER_LOOP, evening) as served:
        threading.Thread(target=served.serve_forever, kwargs={"poll_interval": 0.02}).start()
        yield served
        served.shutdown()


@pytest.fixture
def ask(phones: PhoneServer) -> Asking:
    return Asking(phones, OTHER_LOOP)


def cookie(server: PreviewServer | PhoneServer) -> str:
    return f"{server.origin_check.cookie}={server.origin_check.token}"


@pytest.mark.parametrize(
    "typed",
    [
        "8.8.8.8",
        "0.0.0.0",  # noqa: S104  what must be refused
        "::",
        "127.0.0.1",
        "172.32.0.1",
        "192.0.2.1",
        "169.254.1.1",
        "255.255.255.255",
        "224.0.0.1",
        "10.0.0",
        "hall.local",
        "192.168.1.20:80",
    ],
)
def test_an_address_that_is_not_of_a_network_at_home_is_refused(typed: str) -> None:
    with pytest.raises(NotPrivateError, match="is no private address"):
        private_address(typed)


@pytest.mark.parametrize("typed", ["10.1.2.3", "172.16.0.1", "172.31.255.254", "192.168.1.20"])
def test_an_address_of_a_network_at_home_is_private_by_rfc_1918_too(typed: str) -> None:
    assert private_address(typed) == typed
    assert ip_address(typed).is_private


def test_a_public_address_is_wrong_use_and_nothing_is_served() -> None:
    done = trialpress("preview", "--port", "0", "--phone", "8.8.8.8", folder=SMALL)

    assert (done.returncode, done.stdout) == (2, "")
    assert "8.8.8.8 is no private address" in done.stderr


def test_an_address_that_another_machine_has_is_refused_in_words(server: PreviewServer) -> None:
    with pytest.raises(NotOursError, match=r"At 192\.0\.2\.77, port \d+, this machine cannot"):
        PhoneServer(server, "192.0.2.77", Evening())


def test_a_phone_that_did_not_scan_the_picture_sees_and_writes_nothing(
    server: PreviewServer, phones: PhoneServer, ask: Asking
) -> None:
    before = files_below(server.watcher.bench.root)
    paths = [
        "/",
        "/sheet",
        "/grading",
        "/grading/photo",
        "/sheet/sheet.js",
        "/sheet/events",
        "/static/site.css",
        "/catalogue",
    ]

    for path in paths:
        for wrong in (None, "x=y", cookie(server), f"{phones.origin_check.cookie}=guessed"):
            status, body, _ = ask(path, Cookie=wrong)
            assert (status, body[:16]) == (403, b"Scan the picture")
    for path in ("/sheet/keep", "/sheet/judge", "/grading/begin", "/grading/finish"):
        for token in (None, "guessed", server.origin_check.token):
            assert ask(path, draft(), X_Trialpress_Session=token)[0] == 403

    assert files_below(server.watcher.bench.root) == before


def test_a_phone_that_scanned_it_has_sheet_and_grading_and_nothing_else(
    phones: PhoneServer, ask: Asking
) -> None:
    path = phones.url.removeprefix(f"http://{OTHER_LOOP}:{phones.server_port}")
    status, _, headers = ask(path)
    assert (status, headers["Location"]) == (303, "/sheet")
    assert headers["Set-Cookie"] == f"{cookie(phones)}; Path=/; HttpOnly; SameSite=Strict"

    inside = cookie(phones)
    sheet = ask("/sheet", Cookie=inside)

    assert sheet[0] == 200
    assert sheet[2]["Content-Security-Policy"].startswith("default-src 'self'")
    assert phones.origin_check.token in sheet[1].decode()
    assert "On a phone" not in sheet[1].decode()
    assert ask("/grading", Cookie=inside)[0] == 200
    for other in ("/index.html", "/catalogue", "/adopting", "/screen", "/screen/state", "/static/"):
        assert ask(other, Cookie=inside)[0] == 404
    for hole in ("/static/../index.html", "/static/%2e%2e/index.html", "/static/..%2findex.html"):
        assert ask(hole, Cookie=inside)[0] == 404
    for question in ("/catalogue/offer", "/adopting/show"):
        assert ask(question, {})[0] == 404
    assert ask("/sheet", Cookie=inside, Host="rebound.example")[0] == 403
    assert ask("/sheet/keep", draft(), Origin="http://elsewhere.example")[0] == 403


def test_a_device_that_opens_connections_without_end_keeps_no_other_out(
    phones: PhoneServer,
) -> None:
    there = (OTHER_LOOP, phones.server_port)
    hello = f"GET / HTTP/1.0\r\nHost: {OTHER_LOOP}:{there[1]}\r\n\r\n".encode()
    with ExitStack() as held:
        for _ in range(MOST_OF_ONE):
            held.enter_context(socket.create_connection(there)).sendall(b"GET /")  # and no more
        with socket.create_connection(there, timeout=5) as one_more:
            assert one_more.recv(9) == b""
        with socket.create_connection(there, source_address=("127.0.0.3", 0)) as another:
            another.sendall(hello)
            assert another.recv(12) == b"HTTP/1.1 403"
    deadline = time.monotonic() + 10
    while phones.connections and time.monotonic() < deadline:
        time.sleep(0.005)
    assert phones.connections == 0


def test_the_picture_is_on_the_desk_alone_and_says_the_address(
    server: PreviewServer, phones: PhoneServer
) -> None:
    """Light modules are drawn, dark ones left out; segno's own matrix is what a scanner sees."""
    desk = Asking(server)
    assert "On a phone" not in desk("/")[1].decode()
    shown = desk("/sheet", Cookie=cookie(server))[1].decode()

    lines = picture_lines(phones.url)

    dark = {"█": (0, 0), "▀": (0, 1), "▄": (1, 0), " ": (1, 1)}
    modules = [[dark[mark][half] for mark in line] for line in lines for half in (0, 1)]
    wanted = [list(row) for row in segno.make_qr(phones.url).matrix_iter(border=4)]
    assert modules[: len(wanted)] == wanted
    assert '<img src="data:image/svg+xml' in shown
    assert phones.origin_check.token not in shown


def test_after_twelve_hours_nobody_is_answered(
    phones: PhoneServer, ask: Asking, evening: Evening
) -> None:
    evening.now += LASTS - timedelta(seconds=1)
    assert ask("/sheet", Cookie=cookie(phones))[0] == 200

    evening.now += timedelta(seconds=1)

    assert ask("/sheet", Cookie=cookie(phones))[:2] == (
        403,
        b"The 12 hours of this phone are over. Start trialpress preview --phone again.",
    )
    assert ask("/sheet/keep", draft())[0] == 403


def test_each_start_has_a_secret_of_its_own(server: PreviewServer, phones: PhoneServer) -> None:
    with PhoneServer(server, "127.0.0.3", Evening()) as again:
        secrets = {one.origin_check.token for one in (server, phones, again)}
        assert len(secrets) == 3


def test_a_run_that_is_sent_again_is_kept_once_whatever_became_of_it(
    server: PreviewServer, ask: Asking
) -> None:
    """The first answer was lost on its way; meanwhile the row was taken out again on purpose."""
    sent = {**draft(), "mark": MARK}
    file = server.watcher.bench.days / DAY / "weighings.csv"

    first = ask("/sheet/keep", sent)
    again = ask("/sheet/keep", sent)
    kept = file.read_text(encoding="utf-8")
    file.write_text(kept.splitlines(keepends=True)[0], encoding="utf-8")
    late = ask("/sheet/keep", sent)

    assert (first[0], kept.count("new-01")) == (200, 1)
    assert first[1] == again[1] == late[1]
    assert "new-01" not in file.read_text(encoding="utf-8")
    assert ask("/sheet/keep", {**draft(before_g="261.0"), "mark": MARK})[0] == 400
    assert ask("/sheet/keep", {**draft(), "mark": "x"})[0] == 400


def test_two_phones_at_once_keep_every_run_once_and_are_told_of_one_that_is_taken(
    server: PreviewServer, ask: Asking
) -> None:
    """Each run is sent twice at once; new-01 comes from both phones, with other readings."""
    runs = {f"{i:032x}": draft(run=f"new-0{i}", replicate=str(i + 1)) for i in (1, 2, 3)}
    runs["f" * 32] = draft(run="new-01", before_g="250.0", after_g="268.5")
    posts = [{**run, "mark": mark} for mark, run in runs.items()] * 2

    with ThreadPoolExecutor(8) as at_once:
        answers = list(at_once.map(lambda post: ask("/sheet/keep", post), posts))

    file = server.watcher.bench.days / DAY / "weighings.csv"
    typed = file.read_text(encoding="utf-8")
    assert [typed.count(f"new-0{i},") for i in (1, 2, 3)] == [1, 1, 1]
    refused = {json.loads(body)["problem"] for status, body, _ in answers if status != 200}
    assert sum(status == 200 for status, *_ in answers) == 6
    assert all("new-01" in problem or "Nothing was written" in problem for problem in refused)
