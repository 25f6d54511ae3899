"""The screen at the bench follows what is typed on the sheet, in a real browser."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from flow.benches import copy_of_small_bench
from web.conftest import OpenPage
from web.previews import looking_preview, open_sheet

DAY = "2031-03-16-hall"
HEADER = (
    "run,at,setup,protocol,version,replicate,instrument,dose_g,dose_by,dose_instrument,"
    "before_g,after_g,status\n"
)


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    bench = copy_of_small_bench(tmp_path / "bench")
    (bench / "data" / "days" / DAY).mkdir()
    rows = [
        f"new-0{number},2031-03-16,{setup},pickup,2,,balance,,reading,balance,,,planned\n"
        for number, setup in enumerate(("one-stock", "two-stock"), start=1)
    ]
    (bench / "data" / "days" / DAY / "weighings.csv").write_text(HEADER + "".join(rows), "utf-8")
    with looking_preview(bench, date(2031, 3, 16)) as url:
        yield url


def open_screen(sheet: Page, address: str, query: str = "") -> Page:
    page = sheet.context.new_page()
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.goto(address.partition("?")[0].replace("/sheet", "/screen") + query)
    return page


def type_run(sheet: Page) -> None:
    for column, typed in (("dose_g", "20.0"), ("before_g", "260.0"), ("after_g", "278.4")):
        sheet.locator(f"[data-column={column}]").fill(typed)


def test_dose_gain_share_and_place_come_as_the_run_is_typed(
    address: str, open_first_page: OpenPage
) -> None:
    sheet = open_sheet(address, open_first_page)
    screen = open_screen(sheet, address)
    expect(screen.locator("[data-keys]")).to_contain_text("Waiting for the bench sheet")

    type_run(sheet)

    cells = screen.locator("[data-cells] dd")
    expect(cells).to_have_text(["20.0 g", "260.0 g", "278.4 g", "18.4 g"])
    # 18.4 of 20 g are 92 %
    expect(screen.locator("[data-value]")).to_contain_text("92")
    # Of the two set-ups only this one may be seen on that day.
    expect(screen.locator("[data-places]")).to_have_text("Place 1 of 1 by mean, and no other place")
    width = screen.locator("[data-ruler]").bounding_box()
    assert width is not None
    assert 1600 < width["width"] < 1760
    screen.keyboard.press("s")
    expect(screen.locator("[data-stands]")).to_be_hidden()
    screen.keyboard.press("g")
    assert screen.evaluate("getComputedStyle(document.body).backgroundColor") == "rgba(0, 0, 0, 0)"
    screen.keyboard.press("h")
    expect(screen.locator("[data-name]")).to_be_hidden()


def test_a_set_up_under_embargo_is_shown_where_it_is_asked_for_alone(
    address: str, open_first_page: OpenPage
) -> None:
    sheet = open_sheet(address, open_first_page)
    screen, asking = open_screen(sheet, address), open_screen(sheet, address, "?embargoed")

    sheet.locator("[data-planned]").select_option("new-02")
    type_run(sheet)

    expect(asking.locator("[data-name]")).to_have_text("Maker Two Robot Two (as unboxed)")
    expect(screen.locator("[data-keys]")).to_contain_text("under embargo")
    expect(screen.locator("[data-name]")).to_be_hidden()
    assert "Robot" not in screen.locator("body").inner_text()
