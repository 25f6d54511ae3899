"""The bench sheet on a phone whose network comes and goes: every run once, nothing lost."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from flow.benches import copy_of_small_bench
from trialpress.desk.preview import PhoneServer
from web.conftest import PATIENCE_MS
from web.previews import NIGHT, looking_server

DAY = "2031-03-16-hall"
HEADER = (
    "run,at,setup,protocol,version,replicate,instrument,dose_g,dose_by,dose_instrument,"
    "before_g,after_g,status,reason,note\n"
)
PLANNED = [
    f"new-0{i},2031-03-16,one-stock,pickup,2,{1 + i},balance,,reading,balance,,,planned,,\n"
    for i in (1, 2, 3)
]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Tonight's three planned runs."""
    made = copy_of_small_bench(tmp_path / "bench") / "data" / "days" / DAY / "weighings.csv"
    made.parent.mkdir()
    made.write_text(HEADER + "".join(PLANNED), encoding="utf-8")
    return made


@pytest.fixture
def phone(file: Path, browser: Browser) -> Iterator[Page]:
    """A phone that has scanned the picture; 127.0.0.2 stands for an address at home."""
    with (
        looking_server(file.parents[3], date(2031, 3, 16)) as server,
        PhoneServer(server, "127.0.0.2", lambda: datetime(2031, 3, 16, tzinfo=UTC)) as phones,
        browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True) as scanned,
    ):
        threading.Thread(target=phones.serve_forever, kwargs={"poll_interval": 0.02}).start()
        page = scanned.new_page()
        page.set_default_timeout(PATIENCE_MS)
        page.clock.install(time=NIGHT)
        page.goto(phones.url)
        expect(page.locator("[data-fields] input").first).to_be_focused()
        yield page
        phones.shutdown()


def type_run(page: Page, *readings: str) -> None:
    for reading in readings:
        page.keyboard.type(reading)
        page.keyboard.press("Enter")


def test_runs_typed_while_the_network_is_away_are_sent_once_when_it_is_back(
    phone: Page, file: Path
) -> None:
    waiting = phone.locator("[data-waiting-runs]")
    phone.context.set_offline(True)
    type_run(phone, "20.0", "260.0", "278.0")
    phone.clock.run_for(1000)
    expect(phone.locator("[data-verdict]")).to_contain_text("Not judged")
    phone.locator("[data-keep]").click()
    expect(waiting).to_contain_text("Run new-01 waits in this browser.")
    expect(phone.locator("[data-where]")).to_contain_text("new-02")
    assert file.read_text(encoding="utf-8") == HEADER + "".join(PLANNED)

    phone.context.set_offline(False)
    phone.clock.run_for(6000)

    expect(waiting).to_be_empty()
    typed = file.read_text(encoding="utf-8")
    assert typed.count("new-01,") == 1
    assert "new-01,2031-03-16T19:30,one-stock,pickup,2,2,balance,20.0,reading" in typed


def test_a_run_whose_answer_was_lost_is_sent_again_and_stands_once(phone: Page, file: Path) -> None:
    answers = list[int]()

    def lose_the_first(route: Route) -> None:
        answer = route.fetch()
        answers.append(answer.status)
        if len(answers) == 1:
            route.abort()
        else:
            route.fulfill(response=answer)

    phone.route("**/sheet/keep", lose_the_first)
    type_run(phone, "20.0", "260.0", "278.0")
    phone.clock.run_for(1000)
    expect(phone.locator(".outcome")).to_be_visible()
    phone.locator("[data-keep]").click()
    expect(phone.locator("[data-waiting-runs]")).to_contain_text("new-01 waits")
    written = file.read_text(encoding="utf-8")
    phone.clock.run_for(6000)

    expect(phone.locator("[data-waiting-runs]")).to_be_empty()
    assert answers[:2] == [200, 200]
    assert file.read_text(encoding="utf-8") == written
    assert written.count("new-01,") == 1


def test_a_run_that_is_refused_after_it_waited_stays_to_be_mended(phone: Page, file: Path) -> None:
    """278.0 was typed for 228.0: a container cannot lose mass."""
    phone.context.set_offline(True)
    type_run(phone, "20.0", "278.0", "228.0")
    phone.clock.run_for(1000)
    expect(phone.locator("[data-verdict]")).to_contain_text("Not judged")
    phone.locator("[data-keep]").click()
    phone.context.set_offline(False)
    phone.clock.run_for(6000)
    expect(phone.locator("[data-waiting-runs]")).to_contain_text("Run new-01 was not kept")
    phone.reload()

    phone.get_by_role("button", name="Mend it").click()

    expect(phone.locator("[data-where]")).to_contain_text("new-01")
    expect(phone.locator("[data-column=before_g]")).to_have_value("278.0")
    expect(phone.locator("[data-column=after_g]")).to_have_value("228.0")
    expect(phone.locator("[data-waiting-runs]")).to_be_empty()
    assert "new-01,2031-03-16," in file.read_text(encoding="utf-8")


def test_keys_are_large_and_nothing_is_wider_than_the_phone(phone: Page) -> None:
    assert phone.evaluate("document.documentElement.scrollWidth") == 390
    for key in phone.locator("[data-fields] input, [data-keep]").all():
        size = key.bounding_box()
        assert size is not None
        assert size["height"] >= 72
