"""The preview answers this machine and its own page, and nobody else."""

from __future__ import annotations

import json
import re
import shutil
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from desk.lines import Line, far_end
from desk.previews import DAY, Asking, draft, still_preview
from flow.benches import copy_of_small_bench, files_below
from trialpress.bench import Bench
from trialpress.desk.measured import BenchState, read_state
from trialpress.desk.preview.server import PortTakenError, PreviewServer
from trialpress.site import MadePage


@pytest.fixture
def server(tmp_path: Path, state: BenchState) -> Iterator[PreviewServer]:
    """A preview of the small bench, with a page, and a file beside it that is nobody's business."""
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    with still_preview(bench, state) as served:
        served.watcher.site.mkdir(parents=True)
        (served.watcher.site / "index.html").write_text("<head></head>home", encoding="utf-8")
        (bench.root / "secret.txt").write_text("secret", encoding="utf-8")
        yield served


@pytest.fixture
def line() -> Iterator[Line]:
    with far_end() as made:
        yield made


@pytest.fixture
def ask(server: PreviewServer) -> Asking:
    return Asking(server)


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Origin": "http://elsewhere.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": None}, 403),
        ({"Origin": "http://127.0.0.1:1"}, 403),
        ({"Host": "elsewhere.example"}, 403),
        ({"Host": "rebound.example:8484", "Origin": "http://rebound.example:8484"}, 403),
        ({"Sec_Fetch_Site": "cross-site"}, 403),
        ({"X_Trialpress_Session": None}, 403),
        ({"X_Trialpress_Session": "guessed"}, 403),
        ({"Content_Type": "text/plain"}, 415),
        ({"Content_Type": "application/x-www-form-urlencoded"}, 415),
        ({"Content_Length": "12345678"}, 413),
        ({"Content_Length": "-1"}, 413),
    ],
)
def test_a_post_that_another_page_could_make_is_refused_and_writes_nothing(
    headers: dict[str, str | None], status: int, server: PreviewServer, ask: Asking
) -> None:
    data = server.watcher.bench.data
    before = files_below(data)

    answer = ask("/sheet/keep", draft(), **headers)

    assert answer[0] == status
    assert "problem" in json.loads(answer[1])
    assert files_below(data) == before


def test_no_page_answers_a_question_or_shows_itself_without_the_secret(
    server: PreviewServer, ask: Asking
) -> None:
    before = files_below(server.watcher.bench.root)
    pages = server.pages.pages

    for page in pages:
        shown = [page.path, *(f"{page.path}/{name}" for name in page.readings)]
        assert {ask(path)[0] for path in shown} == {403}
        for name in page.questions:
            for headers in (
                {"X_Trialpress_Session": "guessed"},
                {"Origin": "http://other.example"},
            ):
                assert ask(f"{page.path}/{name}", {}, **headers)[0] == 403
            over = str(page.most_bytes + 1)
            assert ask(f"{page.path}/{name}", {}, Content_Length=over)[0] == 413

    assert len(pages) > 2
    assert files_below(server.watcher.bench.root) == before


def test_every_page_lists_the_others_and_its_secret_stays_in_its_head(
    server: PreviewServer, ask: Asking
) -> None:
    cookie = f"{server.origin_check.cookie}={server.origin_check.token}"
    listed = [page for page in server.pages.pages if page.title]

    for page in listed:
        html = ask(page.path, Cookie=cookie)[1].decode()
        assert re.findall(r'<li><a href="([^"]+)"', html) == [other.path for other in listed]
        assert f'<a href="{page.path}" aria-current="page">{page.title}</a>' in html
        assert html.count(server.origin_check.token) == 1


@pytest.mark.parametrize(
    "path", ["http://[/", f"/{'a' * 300}", f"/static/{'a' * 300}", "/%ed%a0%80"]
)
def test_an_address_that_no_file_can_have_is_no_page(
    path: str, server: PreviewServer, ask: Asking
) -> None:
    assert ask(path)[0] == 404
    shutil.rmtree(server.watcher.site)
    assert ask(path)[0] in {404, 503}, "before the first build"


def test_a_name_that_leads_to_this_machine_gets_no_page(ask: Asking) -> None:
    assert ask("/", Host="rebound.example")[0] == 403
    assert ask("/sheet", Host="rebound.example")[0] == 403
    assert ask("/sheet/events", Host="rebound.example")[0] == 403


@pytest.mark.parametrize(
    "path", ["/sheet", "/sheet/events", "/screen", "/screen/state", "/catalogue"]
)
@pytest.mark.parametrize("cookie", [None, "trialpress-1=x", "trialpress-{port}=guessed"])
def test_the_sheet_opens_only_where_the_printed_address_was_opened(
    path: str, cookie: str | None, server: PreviewServer, ask: Asking
) -> None:
    given = cookie and cookie.replace("{port}", str(server.server_port))

    status, body, _ = ask(path, Cookie=given)

    assert status == 403
    assert b"Open one of the addresses" in body
    assert server.origin_check.token.encode() not in body


def test_the_printed_address_lets_its_browser_in_and_leaves_the_secret_out_of_history(
    server: PreviewServer, ask: Asking
) -> None:
    _, sheet, _ = server.addresses

    status, _, headers = ask(sheet.removeprefix(server.url.rstrip("/")))
    cookie = headers["Set-Cookie"].partition(";")[0]

    assert (status, headers["Location"]) == (303, "/sheet")
    assert "HttpOnly; SameSite=Strict" in headers["Set-Cookie"]
    assert server.origin_check.token.encode() in ask("/sheet", Cookie=f"other=1; {cookie}")[1]


@pytest.mark.parametrize(
    "body",
    [
        b"[" * 100_000,
        b"1" * 5000,
        b'{"day": "\\ud800"}',
        b'{"day": NaN}',
        b"\xff",
        b"",
    ],
)
@pytest.mark.parametrize("question", ["keep", "judge", "begin"])
def test_what_is_no_json_of_ours_is_refused_in_words(
    question: str, body: bytes, server: PreviewServer, ask: Asking
) -> None:
    before = files_below(server.watcher.bench.data)

    status, answer, _ = ask.send(f"/sheet/{question}", body)

    assert (status, json.loads(answer)["problem"][:16]) == (400, "What was sent is")
    assert files_below(server.watcher.bench.data) == before


def test_nothing_outside_the_site_is_served(ask: Asking) -> None:
    for path in ("/../../../secret.txt", "/%2e%2e/%2e%2e/%2e%2e/secret.txt", "/a/..%5csecret.txt"):
        status, body, _ = ask(path)
        assert status == 404
        assert b"secret" not in body


def test_what_scripts_ask_for_waits_until_it_is_of_the_build_that_the_page_is_of(
    ask: Asking, server: PreviewServer
) -> None:
    watcher, script = server.watcher, server.watcher.site / "static" / "data" / "rulers.js"
    script.parent.mkdir(parents=True)
    script.write_text("before", encoding="utf-8")
    watcher._show(MadePage("index.html", b"<head></head>ahead"))
    assert b"ahead" in ask("/")[1]

    def become_whole() -> None:
        script.write_text("after", encoding="utf-8")
        watcher.whole.set()

    threading.Timer(0.05, become_whole).start()
    assert ask("/static/data/rulers.js")[1] == b"after"


def test_pages_get_a_live_bar_and_may_not_be_framed_or_read_elsewhere(ask: Asking) -> None:
    status, body, headers = ask("/")

    assert status == 200
    assert b"/sheet/live.js" in body
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert not any(name.startswith("Access-Control") for name in headers)


def test_a_run_is_judged_by_the_rules_and_formulas_of_a_build(ask: Asking) -> None:
    """18.0 g of 20.0 g are 90 %; the others, one corrected, 91.04, 89.45 and 93.00: mean 91.16."""
    told = json.loads(ask("/sheet/judge", draft())[1])

    assert re.match(r"90(\.0+)?\s%", told["value"])
    assert told["uncertainty"].startswith("standard uncertainty 0.")
    assert re.match(r"1\.16\s% below the mean of this set-up's other 3\sruns", told["others"])
    assert told["may_be_kept"]
    assert told["findings"] == []


def test_a_run_that_cannot_be_right_is_told_and_not_kept(
    server: PreviewServer, ask: Asking
) -> None:
    wrong = draft(dose_g="25.0", after_g="240.0")

    judged = json.loads(ask("/sheet/judge", wrong)[1])
    status, body, _ = ask("/sheet/keep", wrong)

    assert [finding["code"] for finding in judged["findings"]] == [
        "mass-lost",
        "dose-outside-tolerance",
    ]
    assert judged["value"] is None
    assert status == 422
    assert "Nothing was written" in json.loads(body)["problem"]
    assert not (server.watcher.bench.days / DAY).exists()


def test_a_void_run_needs_a_reason_and_is_kept_with_one(ask: Asking) -> None:
    assert ask("/sheet/keep", draft(status="void", after_g="240.0"))[0] == 422
    kept = ask("/sheet/keep", draft(status="void", after_g="240.0", reason="bag fell off"))
    assert kept[0] == 200


def test_a_kept_run_is_in_its_file_once_however_often_it_is_sent(
    server: PreviewServer, ask: Asking
) -> None:
    first, second = (json.loads(ask("/sheet/keep", draft())[1]) for _ in range(2))

    assert first == {"file": f"data/days/{DAY}/weighings.csv", "row": 2, "was_new": True}
    assert second == {**first, "was_new": False}
    text = (server.watcher.bench.days / DAY / "weighings.csv").read_text(encoding="utf-8")
    assert text.count("new-01") == 1
    assert read_state(server.watcher.bench).runs["new-01"].value == pytest.approx(90.0)


def test_a_run_that_was_not_planned_gets_a_free_name(ask: Asking) -> None:
    request = {"day": DAY, "setup": "one-stock", "protocol": "pickup", "version": 2}

    begun = json.loads(ask("/sheet/begin", request)[1])

    assert begun["run"] == "2031-03-16-pickup-01"
    assert begun["rows"][0]["instrument"] == "balance"
    assert "dose_g" not in begun["rows"][0]


def test_a_set_up_under_embargo_can_be_typed_and_judged(ask: Asking) -> None:
    told = json.loads(ask("/sheet/judge", draft(setup="two-stock", replicate="1"))[1])

    assert told["value"] is not None


@pytest.mark.parametrize("body", [[], {"day": DAY}, "text"])
def test_what_is_no_run_is_a_wrong_request(body: object, ask: Asking) -> None:
    status, answer, _ = ask("/sheet/judge", body)

    assert status == 400
    assert "Nothing was written" in json.loads(answer)["problem"]


def test_a_port_that_is_taken_is_told_with_the_next_step(server: PreviewServer) -> None:
    with pytest.raises(PortTakenError, match="--port 0"):
        PreviewServer(server.watcher, server.server_port)


def test_a_balance_types_into_the_field_that_asks(tmp_path: Path, line: Line) -> None:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    with bench.settings_file.open("a", encoding="utf-8") as settings:
        settings.write(f'[[meters]]\nname = "hall"\nport = "{line.port}"\nunit = "kg"\n')
        settings.write('instrument = "balance"\n')
    line.send((0.3, b"0.2783 kg\r\n"))
    with still_preview(bench) as served:
        ask = Asking(served)
        offered = json.loads(ask("/sheet/offer", {})[1])["meters"]
        read = json.loads(ask("/sheet/measure", {"meter": "hall", "unit": "g"})[1])
        wrong = ask("/sheet/measure", {"meter": "hall", "unit": "dB(A)"})

    assert (offered["g"], offered["dB(A)"]) == (["hall"], [])
    assert read == {"value": "278.3", "line": "0.2783 kg", "instrument": "balance"}
    assert wrong[0] == 400
