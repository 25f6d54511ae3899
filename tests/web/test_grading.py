"""Grading photos by keyboard in a browser: no photo is graded that nobody has seen."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, Route, expect

from desk.test_grading import DAY, PHOTOS, ROWS
from flow.benches import copy_of_small_bench
from web.conftest import PATIENCE_MS
from web.previews import looking_server


@pytest.fixture
def day(tmp_path: Path) -> Path:
    """Two planned runs, a photo a zone."""
    made = copy_of_small_bench(tmp_path / "bench") / "data" / "days" / DAY
    (made / "photos").mkdir(parents=True)
    (made / "gradings.csv").write_text(ROWS, encoding="utf-8")
    (made / "photos.csv").write_text(PHOTOS, encoding="utf-8")
    for row in csv.DictReader(PHOTOS.splitlines()):
        Image.new("RGB", (8, 8)).save(made / row["file"])
    return made


@pytest.fixture
def page(day: Path, browser: Browser) -> Iterator[Page]:
    with (
        looking_server(day.parents[2], date(2031, 3, 16)) as server,
        browser.new_context(viewport={"width": 390, "height": 844}) as own,
    ):
        opened = own.new_page()
        opened.set_default_timeout(PATIENCE_MS)
        opened.goto(server.addresses[1])
        opened.goto(f"{server.url}grading")
        expect(opened.locator("[data-protocol] option")).to_have_count(1)
        opened.locator("[data-grader]").fill("ann")
        yield opened


def test_a_photo_is_graded_once_it_is_there_and_a_held_key_grades_one(
    page: Page, day: Path
) -> None:
    waiting: list[Route] = []

    def wait(route: Route) -> None:
        waiting.append(route)

    page.route("**/grading/photo?*number=1", wait)
    count, photo = page.locator("[data-count]"), page.locator("[data-photo]")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(photo).to_be_visible()
    expect(count).to_be_focused()

    page.keyboard.down("2")
    expect(count).to_have_text("2 of 4")
    expect(photo).not_to_be_visible()
    page.keyboard.press("3")
    waiting[0].continue_()
    expect(photo).to_be_visible()
    page.keyboard.down("2")  # still held: it repeats
    page.keyboard.up("2")
    expect(count).to_have_text("2 of 4")
    for number in ("3 of 4", "4 of 4"):
        page.keyboard.press("1")
        expect(count).to_have_text(number)
        expect(photo).to_be_visible()
    page.keyboard.press("1")

    expect(page.locator("[data-status]")).to_have_text("2 runs written.")
    expect(page.locator("[data-end-title]")).to_be_focused()
    rows = csv.DictReader((day / "gradings.csv").read_text(encoding="utf-8").splitlines())
    assert sorted(row["grade"] for row in rows) == ["1", "1", "1", "2"]


def test_a_photo_that_is_gone_is_not_graded_and_the_page_says_what_to_do(
    page: Page, day: Path
) -> None:
    page.route("**/grading/photo?*", lambda route: route.fulfill(status=404))
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")

    expect(page.locator("[data-status]")).to_contain_text("This photo cannot be shown")
    page.keyboard.press("1")
    page.get_by_role("button", name="Stop here").click()
    expect(page.locator("[data-told]")).to_contain_text("2 runs are not graded whole")
    assert (day / "gradings.csv").read_text(encoding="utf-8") == ROWS
