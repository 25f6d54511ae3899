"""The catalogue in a real browser: a row typed by keyboard, judged while typing, kept, undone."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from flow.benches import copy_of_small_bench, files_below
from web.barriers import WCAG_RULES, barriers
from web.conftest import OpenPage
from web.previews import looking_preview


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    return copy_of_small_bench(tmp_path / "bench")


@pytest.fixture
def catalogue(bench: Path, open_first_page: OpenPage) -> Iterator[Page]:
    with looking_preview(bench, date(2031, 3, 16)) as address:
        page = open_first_page("about:blank", width=320)
        page.goto(address)
        page.get_by_role("link", name="Catalogue").click()
        page.get_by_role("button", name="Machines").click()
        yield page


def test_a_machine_is_typed_by_keyboard_on_a_narrow_phone_and_taken_back(
    catalogue: Page, bench: Path
) -> None:
    before, page, keys = files_below(bench / "data"), catalogue, catalogue.keyboard
    page.get_by_role("button", name="Add a machine").press("Enter")
    keys.type("Tern 3")
    expect(page.locator("[data-column=machine]")).to_have_value("tern-3")
    for typed in ("", "Maker Two", "", "stick"):  # past "Add a maker"
        keys.press("Tab")
        keys.type(typed)
    page.locator("[data-column=price]").fill("12,x")
    expect(page.locator("[data-fault=price]")).to_contain_text("12.x is not a number")
    expect(page.locator("[data-keep]")).to_be_disabled()
    found = barriers(page, WCAG_RULES)
    width = page.evaluate("document.documentElement.scrollWidth")
    page.locator("[data-column=price]").fill("12,5")
    expect(page.locator("[data-verdict]")).to_have_text("Still to fill in: Acquired.")
    page.locator("[data-column=acquired]").select_option("bought")
    page.locator("[data-column=acquired]").focus()
    keys.press("Enter")
    expect(page.locator("[data-keep]")).to_be_focused()
    keys.press("Enter")
    expect(page.locator("[data-status]")).to_have_text(
        "Kept: tern-3, data/catalogue/machines.csv, row 4."
    )
    file = bench / "data" / "catalogue" / "machines.csv"
    kept = file.read_text(encoding="utf-8")
    page.get_by_role("button", name="Undo: tern-3 was added to machines.csv").press("Enter")
    expect(page.locator("[data-status]")).to_have_text("Undone: tern-3 was added to machines.csv.")

    assert kept.endswith("\ntern-3,maker-two,Tern 3,stick,,12.5,,,bought,,,\n")
    assert found == []
    assert width == 320
    assert files_below(bench / "data") == before
