"""The demo's own pages: charts come alive as the pictures they were, in step with table and box."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from web.conftest import OpenPage

PAGES = (
    "standings/carpet.html",
    "standings/noise.html",
    "standings/deep-rug-v1.html",
    "overall.html",
    "prices/deep-rug.html",
    "claims/runtime.html",
)
LIVE = ".wide[data-chart-picture] > div svg"
NAMES = f"{LIVE} .concat_1_concat_0_layer_2_marks text"


def words_of(page: Page, picture: str) -> list[str]:
    return page.locator(f"{picture} text").all_text_contents()


def set_ups_in_table(page: Page) -> int:
    return page.locator("[data-rows] > tr:visible").count()


@pytest.mark.parametrize("address", PAGES)
def test_a_chart_that_comes_alive_says_what_its_picture_said(
    open_page: OpenPage, built_site: Path, address: str
) -> None:
    page = open_page(built_site / address)
    said = words_of(page, ".wide svg")

    page.locator("figure.chart").first.hover()
    page.wait_for_selector(LIVE)

    assert said
    assert words_of(page, LIVE) == said


@pytest.mark.parametrize("address", PAGES)
def test_a_narrow_chart_comes_alive_on_a_phone_and_stays_within_it(
    open_page: OpenPage, built_site: Path, address: str
) -> None:
    page = open_page(built_site / address, width=320, height=640)
    said = words_of(page, ".narrow svg")

    page.locator("figure.chart").first.hover()
    page.wait_for_selector(LIVE.replace("wide", "narrow"))

    assert words_of(page, LIVE.replace("wide", "narrow")) == said
    assert page.evaluate("document.documentElement.scrollWidth") <= 320


@pytest.mark.parametrize("address", ["standings/carpet.html", "overall.html"])
def test_table_and_chart_hold_the_same_set_ups_under_every_kind(
    open_page: OpenPage, built_site: Path, address: str
) -> None:
    page = open_page(built_site / address)
    kinds = page.locator("select[name=kind] option").all_text_contents()[1:]
    assert len(kinds) > 1

    for kind in kinds:
        page.locator("select[name=kind]").select_option(kind)
        page.wait_for_selector(LIVE)
        rows = set_ups_in_table(page)
        expect(page.locator("[data-filter-count]")).to_contain_text(f"{rows} of")
        expect(page.locator(NAMES)).to_have_count(rows)


def test_a_shared_address_opens_the_demo_filtered_and_sorted(
    open_page: OpenPage, built_site: Path
) -> None:
    address = (built_site / "standings" / "carpet.html").as_uri()

    page = open_page(f"{address}?kind=robot&sort=mean-up")

    page.wait_for_selector(LIVE)
    values = [
        float(text) for text in page.locator("[data-rows] > tr:visible .value").all_text_contents()
    ]
    assert len(values) > 1
    assert values == sorted(values)
