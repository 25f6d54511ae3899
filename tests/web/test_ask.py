"""A reader asks an edition in SQL, in the page, with the headers that a server should send."""

from __future__ import annotations

import gzip
import json
import re
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing
from datetime import date
from fnmatch import fnmatch
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import expect

from trialpress.bench import Bench
from trialpress.flow import Order, Output, build
from trialpress.site.pages.ask import QUESTIONS
from web.conftest import OpenPage

ENDLESS = "with recursive n(i) as (select 1 union all select i + 1 from n) select count(*) from n"


@pytest.fixture(scope="module")
def site(small_edition: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of the small bench with its edition."""
    out = tmp_path_factory.mktemp("ask")
    bench = Bench(small_edition.parents[2])
    build(Order(bench, date(2031, 7, 1), out, (Output.SITE,), lambda _: None))
    return out / "site"


def policies(headers: str) -> list[tuple[str, str]]:
    """The last policy of each rule of a ``_headers`` file, in its order."""
    policy = re.compile(r"^  Content-Security-Policy: (.*)$", re.MULTILINE)
    rules = re.split(r"\n(?=/)", headers)
    found = ((rule, policy.search(rule)) for rule in rules)
    return [(rule.partition("\n")[0], match[1]) for rule, match in found if match]


class _WithPolicy(SimpleHTTPRequestHandler):
    rules: tuple[tuple[str, str], ...] = ()

    def end_headers(self) -> None:
        fitting = [policy for rule, policy in self.rules if fnmatch(self.path.split("?")[0], rule)]
        self.send_header("Content-Security-Policy", fitting[-1])
        super().end_headers()

    def log_message(self, *_: object) -> None:
        pass


@pytest.fixture(scope="module")
def address(site: Path) -> Iterator[str]:
    """The site served with the policies of its ``_headers``."""
    rules = tuple(policies((site / "_headers").read_text("utf-8")))
    handler = type("_Handler", (_WithPolicy,), {"rules": rules})
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(handler, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


def answers(site: Path, sql: str) -> list[list[str]]:
    """What Python's own SQLite answers, as a page shows it."""
    with closing(sqlite3.connect(site / "dataset/latest/dataset.sqlite")) as database:
        rows = database.execute(sql).fetchall()
    return [[_shown(cell) for cell in row] for row in rows]


def _shown(cell: object) -> str:
    """A cell as scripts write it: a whole number without decimals."""
    if cell is None:
        return ""
    return f"{cell:g}" if isinstance(cell, float) else str(cell)


def test_a_question_is_answered_shared_saved_corrected_and_stopped(
    site: Path, address: str, open_page: OpenPage
) -> None:
    page = open_page(f"{address}ask.html")
    page.get_by_role("button", name="The top cut").click()
    table = page.locator("[data-answer] table")
    expect(table).to_be_visible()
    asked = page.locator("textarea").input_value()
    shown = [row.locator("td").all_inner_texts() for row in table.locator("tbody tr").all()]
    assert shown == answers(site, asked)
    assert shown
    assert quote("from standings", safe="").replace("%20", "+") in page.url

    with page.expect_download() as saved:
        page.get_by_role("button", name="As CSV").click()
    text = saved.value.path().read_text("utf-8")
    assert text.splitlines()[0] == "place,setup,mean,low,high,place_best,place_worst"
    assert len(text.splitlines()) == 1 + len(shown)

    page.locator("textarea").fill("select 1 from nowhere")
    page.get_by_role("button", name="Ask", exact=True).click()
    expect(page.locator("[data-said]")).to_have_text("SQLite says: no such table: nowhere")

    page.locator("textarea").fill(ENDLESS)
    page.get_by_role("button", name="Ask", exact=True).click()
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("[data-said]")).to_have_text("Stopped.")

    again = open_page(f"{address}ask.html?q={quote('select 6 * 7 as answer')}")
    expect(again.locator("[data-answer] td")).to_have_text("42")


def test_from_disk_the_page_says_why_it_cannot(site: Path, open_page: OpenPage) -> None:
    page = open_page(site / "ask.html")
    page.get_by_role("button", name="The top cut").click()

    expect(page.locator("[data-said]")).to_contain_text("opened from disk")


def test_nothing_is_loaded_before_a_question_and_then_less_than_half_a_megabyte(
    site: Path, address: str, open_page: OpenPage
) -> None:
    page = open_page(f"{address}ask.html")
    loaded = page.evaluate("performance.getEntriesByType('resource').map((one) => one.name)")
    vendored = site / "static" / "vendor" / "sqlite"
    packed = sum(len(gzip.compress(file.read_bytes())) for file in vendored.iterdir())

    assert not [name for name in loaded if "sqlite" in name]
    assert packed <= 500_000


def test_only_the_page_that_asks_may_compile(site: Path) -> None:
    allowed = {
        page.relative_to(site).as_posix()
        for page in site.rglob("*.html")
        if "unsafe-eval" in page.read_text("utf-8")
    }

    assert allowed == {"ask.html"}


def test_every_question_can_be_asked(site: Path) -> None:
    record = json.loads((site / "dataset/latest/datapackage.json").read_bytes())
    assert record["version"] == "1.0.0"

    for words, sql in QUESTIONS:
        assert answers(site, sql.format(protocol="pickup", version=2)) is not None, words
