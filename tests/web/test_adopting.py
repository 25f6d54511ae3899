"""An old spreadsheet by pointing, in a real browser: answered, written, taken back, refused."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from desk.messy_files import slashes
from flow.benches import copy_of_small_bench, files_below
from web.barriers import WCAG_RULES, barriers
from web.conftest import OpenPage
from web.previews import looking_preview


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    return copy_of_small_bench(tmp_path / "bench")


@pytest.fixture
def adopting(bench: Path, open_first_page: OpenPage) -> Iterator[Page]:
    with looking_preview(bench, date(2031, 6, 16)) as address:
        page = open_first_page("about:blank", width=390)
        page.goto(address)
        page.get_by_role("link", name="Old spreadsheets").click()
        yield page


def test_a_spreadsheet_is_pointed_at_written_taken_back_and_refused_once_it_has_changed(
    adopting: Page, bench: Path, tmp_path: Path
) -> None:
    before, page, keys = files_below(bench / "data"), adopting, adopting.keyboard
    write = page.locator("[data-write]")
    file = slashes(tmp_path)
    page.set_input_files("#file", file)
    expect(write).to_have_text("Write 3 rows")
    expect(page.locator("[data-refused]")).to_contain_text("03/04/2031 can be two dates")

    page.get_by_label("date_order").select_option("day-first")
    expect(write).to_have_text("Write 5 rows")
    page.get_by_label("Stick 1").focus()
    keys.type("one")
    expect(write).to_have_text("Write 7 rows")
    found = barriers(page, WCAG_RULES)
    width = page.evaluate("document.documentElement.scrollWidth")
    page.get_by_label("Mode is").select_option("note")
    expect(page.locator("[data-rows] tr").first).to_contain_text("note high")
    page.get_by_label("Mode is").select_option("")
    expect(page.locator("[data-rows]")).not_to_contain_text("note high")
    assert files_below(bench / "data") == before
    write.press("Enter")

    status, what = page.locator("[data-status]"), "7 rows of slashes.csv were adopted"
    expect(status).to_have_text(f"Written: {what}.")
    expect(page.locator("[data-more]")).to_have_text("7 rows were adopted before.")
    page.get_by_role("button", name=f"Undo: {what}").press("Enter")
    expect(status).to_have_text(f"Undone: {what}.")
    file.write_text(file.read_text("utf-8").replace("64.0", "65.0"), encoding="utf-8")
    expect(write).to_have_text("Write 7 rows")
    expect(write).to_be_enabled()
    write.press("Enter")
    expect(status).to_contain_text("was changed since its rows were shown, so nothing was written")
    assert files_below(bench / "data") == before
    assert (found, width) == ([], 390)
