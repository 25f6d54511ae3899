"""A chart of very many rows is redrawn where a reader is, and everywhere for paper."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from charts.hand_filled import Entry
from web.conftest import OpenPage
from web.small_site import write_site_of

SETUPS = 300
STILL = 100  # rows of the picture that the page is opened with
ROBOTS = 200  # the small site makes every third set-up a stick
LIVE = ".wide div[role=img]"


@pytest.fixture(scope="module")
def long_standing(tmp_path_factory: pytest.TempPathFactory) -> Path:
    entries = [
        Entry(f"{i}-stock", 100 - i / 9, 99 - i / 9, 101 - i / 9, (i, i), machine=f"machine-{i}")
        for i in range(1, SETUPS + 1)
    ]
    return write_site_of(entries, tmp_path_factory.mktemp("long"))


def only_robots(page: Page) -> None:
    """Filter with the top of the chart in view."""
    page.locator("figure").evaluate("figure => figure.scrollIntoView()")
    page.get_by_label("Kind").evaluate(
        "list => { list.value = 'robot'; list.form.dispatchEvent(new Event('input')); }"
    )
    expect(page.locator(LIVE)).to_be_attached()


def drawn(page: Page) -> list[int]:
    """The numbers of the machines whose names are in the chart, in the order they are drawn."""
    names = page.locator(f"{LIVE} text").all_text_contents()
    found = [re.search(r"Ostrel (\d+) ", name) for name in names]
    return [int(one[1]) for one in found if one]


@pytest.mark.dear
def test_only_rows_near_a_reader_are_redrawn_at_the_height_of_all(
    open_page: OpenPage, long_standing: Path
) -> None:
    page = open_page(long_standing)
    still = page.locator(".wide svg").bounding_box()
    only_robots(page)
    live = page.locator(f"{LIVE} svg").bounding_box()

    robots = [i for i in range(1, SETUPS + 1) if i % 3]
    assert 30 < len(drawn(page)) < 150
    assert drawn(page) == robots[: len(drawn(page))]
    assert still
    assert live
    assert live["height"] == pytest.approx(still["height"] * ROBOTS / STILL, rel=0.02)


def test_rows_are_drawn_as_they_are_scrolled_to(open_page: OpenPage, long_standing: Path) -> None:
    page = open_page(long_standing)
    only_robots(page)

    page.evaluate("window.scrollTo(0, document.body.scrollHeight)")

    expect(page.locator(f"{LIVE} text", has_text="Ostrel 299 (")).to_be_in_viewport()
    assert 1 not in drawn(page)


def test_no_row_in_view_is_left_out_after_scrolling_back_by_less_than_a_screen(
    open_page: OpenPage, long_standing: Path
) -> None:
    page = open_page(long_standing)
    only_robots(page)
    page.evaluate("window.scrollTo(0, document.body.scrollHeight)")
    expect(page.locator(f"{LIVE} text", has_text="Ostrel 299 (")).to_be_in_viewport()

    page.evaluate("window.scrollBy(0, -0.95 * window.innerHeight)")
    page.evaluate("() => new Promise((done) => setTimeout(done, 500))")
    heights = page.locator(f"{LIVE} text").evaluate_all(
        "texts => texts.map((text) => text.getBoundingClientRect().top).filter((top) => top >= 0)"
    )

    assert min(heights) < 60  # a row is about 44 pixels high


def test_paper_gets_every_row(open_page: OpenPage, long_standing: Path) -> None:
    page = open_page(long_standing)
    only_robots(page)

    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")

    assert len(drawn(page)) == ROBOTS
