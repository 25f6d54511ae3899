"""An evening at the bench in a real browser: rows typed into the sheet, files saved beside it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Page, Route, expect

from flow.benches import copy_of_small_bench
from web.barriers import WCAG_RULES, barriers
from web.conftest import OpenPage
from web.previews import Preview, looking_preview, open_sheet

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
def bench(tmp_path: Path) -> Path:
    return planned(tmp_path)


def planned(folder: Path) -> Path:
    """The small bench with three runs planned for tonight."""
    bench = copy_of_small_bench(folder / "bench")
    (bench / "data" / "days" / DAY).mkdir()
    tonight(bench).write_text(HEADER + "".join(PLANNED), encoding="utf-8")
    return bench


def tonight(bench: Path) -> Path:
    return bench / "data" / "days" / DAY / "weighings.csv"


@pytest.fixture
def preview(bench: Path) -> Iterator[Preview]:
    started = Preview(bench)
    yield started
    started.stop()


@pytest.fixture
def address(bench: Path) -> Iterator[str]:
    with looking_preview(bench, date(2031, 3, 16)) as url:
        yield url


@pytest.fixture
def sheet(address: str, open_first_page: OpenPage) -> Page:
    return open_sheet(address, open_first_page)


@pytest.fixture(scope="module")
def shared_address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """For the tests that keep no run, so that none finds what another did."""
    with looking_preview(planned(tmp_path_factory.mktemp("shared")), date(2031, 3, 16)) as url:
        yield url


@pytest.fixture
def shared_sheet(shared_address: str, open_first_page: OpenPage) -> Page:
    return open_sheet(shared_address, open_first_page)


def type_run(page: Page, *readings: str) -> None:
    """Type readings by keyboard alone, Enter after each."""
    for reading in readings:
        page.keyboard.type(reading)
        page.keyboard.press("Enter")


def test_a_planned_run_typed_by_keyboard_shows_its_value_before_it_is_kept(
    sheet: Page, bench: Path
) -> None:
    """(278.0 - 260.0) / 20.0 = 90 %; a comma is taken for the decimal point."""
    before = tonight(bench).read_text(encoding="utf-8")

    type_run(sheet, "20,0", "260,0", "278,0")
    expect(sheet.locator(".outcome")).to_have_text(re.compile(r"^90(\.0+)?\s%standard"))
    expect(sheet.locator(".others")).to_contain_text("other 3")
    expect(sheet.locator("[data-keep]")).to_be_focused()
    assert tonight(bench).read_text(encoding="utf-8") == before
    sheet.keyboard.press("Enter")

    expect(sheet.locator("[data-status]")).to_have_text(
        f"Kept: data/days/{DAY}/weighings.csv, row 2."
    )
    typed = PLANNED[0].replace("2031-03-16,", "2031-03-16T19:30,").replace("planned", "valid")
    typed = typed.replace("balance,,reading,balance,,", "balance,20.0,reading,balance,260.0,278.0")
    assert tonight(bench).read_text(encoding="utf-8") == HEADER + typed + "".join(PLANNED[1:])
    expect(sheet.locator("[data-where]")).to_contain_text("new-02")
    expect(sheet.locator(".live li")).to_contain_text("Stick One (as unboxed), Dust on a rug")
    expect(sheet.locator(".live li")).to_contain_text("from 4\N{NO-BREAK SPACE}runs; was")


def test_what_cannot_be_right_is_told_while_typing_and_cannot_be_kept(shared_sheet: Page) -> None:
    shared_sheet.keyboard.type("25.0")
    expect(shared_sheet.locator(".found")).to_contain_text("5.0 g from the dose of the protocol")
    shared_sheet.keyboard.press("Enter")
    type_run(shared_sheet, "278.0", "260.0")

    expect(shared_sheet.locator(".found")).to_contain_text("after_g")
    expect(shared_sheet.locator(".found li")).to_have_count(2)
    expect(shared_sheet.locator("[data-keep]")).to_be_disabled()
    expect(shared_sheet.locator("[data-verdict]")).to_contain_text("No value")


def test_how_far_a_run_is_from_the_others_is_told_in_spreads(shared_sheet: Page) -> None:
    """14.0 g of 20.0 g are 70 %; three others say too little of the spread to call that a slip."""
    type_run(shared_sheet, "20.0", "260.0", "274.0")

    expect(shared_sheet.locator(".others")).to_contain_text("times the run-to-run spread")
    expect(shared_sheet.locator(".found")).to_have_count(0)
    expect(shared_sheet.locator("[data-keep]")).to_be_enabled()


def test_what_was_typed_is_there_again_after_the_page_was_closed(shared_sheet: Page) -> None:
    type_run(shared_sheet, "20.0", "260.0")
    shared_sheet.reload()

    fields = shared_sheet.locator("[data-fields] input")
    expect(fields.nth(0)).to_have_value("20.0")
    expect(fields.nth(1)).to_have_value("260.0")
    expect(fields.nth(2)).to_be_focused()


def test_a_script_that_comes_late_is_waited_for(
    shared_address: str, open_first_page: OpenPage
) -> None:
    page = open_first_page("about:blank")

    def come_late(route: Route) -> None:
        page.wait_for_timeout(200)
        route.continue_()

    page.route("**/sheet/waiting.js", come_late)
    page.goto(shared_address)

    expect(page.locator("[data-fields] input").first).to_be_focused()


def test_a_run_that_was_not_planned_starts_a_new_day_folder(sheet: Page, bench: Path) -> None:
    sheet.get_by_text("A run that was not planned").click()
    sheet.locator("[data-day]").fill("2031-03-16-porch")
    sheet.locator("[data-setup]").select_option("one-stock")
    sheet.locator("[data-method]").select_option("noise 1")
    sheet.get_by_role("button", name="Begin this run").click()
    expect(sheet.locator("[data-fields] input")).to_have_count(1)
    expect(sheet.locator("[data-fields] input")).to_be_focused()

    type_run(sheet, "71.5")
    expect(sheet.locator(".outcome")).to_contain_text("71.5")
    sheet.locator("[data-keep]").click()

    expect(sheet.locator("[data-status]")).to_contain_text(
        "Kept: data/days/2031-03-16-porch/values.csv"
    )
    file = bench / "data" / "days" / "2031-03-16-porch" / "values.csv"
    assert "one-stock,noise,1,,meter,71.5,iv,,valid" in file.read_text(encoding="utf-8")


@pytest.mark.dear
def test_a_saved_file_shows_its_faults_in_page_and_terminal_and_the_site_follows(
    preview: Preview, bench: Path, open_page: OpenPage
) -> None:
    preview.wait_for("The site is new")
    page = open_page(preview.site)
    file, text = tonight(bench), tonight(bench).read_text(encoding="utf-8")
    row = "new-01,2031-03-16T19:30,one-stock,pickup,2,2,balance,20.0,reading,balance,{},valid,,\n"

    file.write_text(text.replace(PLANNED[0], row.format("278.0,260.0")), encoding="utf-8")
    expect(page.locator(".live")).to_contain_text("1 fault. The site stays as it was.")
    expect(page.locator(".live li")).to_contain_text(
        f"data/days/{DAY}/weighings.csv, row 2, after_g"
    )
    preview.wait_for(f"error: data/days/{DAY}/weighings.csv, row 2, after_g")
    page.evaluate("window.isOld = true")
    file.write_text(text.replace(PLANNED[0], row.format("260.0,278.0")), encoding="utf-8")

    expect(page.locator(".live li")).to_contain_text("from 4\N{NO-BREAK SPACE}runs")
    page.wait_for_function("() => !window.isOld", timeout=60_000)
    page.goto(f"{preview.url}machines/stick-one.html")
    expect(page.locator("main")).to_contain_text("new-01")


def test_the_sheet_fits_a_narrow_phone_and_has_no_faults_that_axe_finds(
    shared_address: str, open_first_page: OpenPage
) -> None:
    page = open_sheet(shared_address, open_first_page, width=320)
    type_run(page, "20.0", "260.0", "274.0")
    expect(page.locator(".outcome")).to_be_visible()

    assert page.evaluate("document.documentElement.scrollWidth") == 320
    expect(page.get_by_text("Time, instruments, who, notes")).to_be_visible()
    for box in page.locator("[data-fields] input, [data-keep], select:visible").all():
        size = box.bounding_box()
        assert size is not None
        assert size["height"] >= 44
    found = barriers(page, WCAG_RULES)
    assert found == []
