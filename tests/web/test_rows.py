"""A long ranking shows its first lines, and the rest when it is wanted, found or printed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest
from playwright.sync_api import Page, expect

from trialpress.site.templates import Templates, environment
from web.conftest import OpenPage

SHORTENED = """document.addEventListener('readystatechange', () =>
  document.querySelector('table.ranking').setAttribute('data-first', '10'), { once: true });"""
SHOWN = "[data-rows] > tr:not([hidden])"


@pytest.fixture
def short(built_site: Path, open_page: OpenPage) -> Iterator[Page]:
    """A standing of 39 set-ups that shows ten at first, in a window that shows nothing else."""
    page = open_page("about:blank")
    page.add_init_script(SHORTENED)
    page.goto((built_site / "standings" / "carpet.html").as_uri())
    page.get_by_role("button", name="Show the other 29").wait_for()
    yield page
    page.close()


def test_ten_lines_stand_there_and_a_button_brings_the_others(short: Page) -> None:
    assert short.locator(SHOWN).count() == 10
    height = short.evaluate("document.querySelector('table.ranking').offsetHeight")
    tenth = short.locator(SHOWN).last.bounding_box()
    table = short.locator("table.ranking").bounding_box()
    assert tenth
    assert table
    assert table["y"] + table["height"] - tenth["y"] - tenth["height"] < 5  # the rest has no room

    short.get_by_role("button", name="Show the other 29").click()

    assert short.locator(SHOWN).count() == 39
    expect(short.locator("[data-rows] > tr").nth(10).locator(".name a")).to_be_focused()
    assert short.evaluate("document.querySelector('table.ranking').offsetHeight") > 2 * height
    expect(short.get_by_role("button", name="Show the other")).to_have_count(0)


def test_what_a_search_in_the_page_finds_further_down_is_brought(short: Page) -> None:
    last = short.locator("[data-rows] > tr").last
    assert last.get_attribute("hidden") == "until-found"

    setup = last.get_attribute("data-setup")
    short.evaluate(  # going to a part of the page finds it as a search does
        "(setup) => { document.querySelector(`tr[data-setup=${setup}]`).id = 'x';"
        " location.hash = 'x'; }",
        setup,
    )

    expect(last).to_be_in_viewport()
    assert short.locator(SHOWN).count() == 39


def test_filters_names_and_orders_go_over_all_lines(short: Page) -> None:
    short.get_by_label("Kind").select_option("robot")
    expect(short.locator("[data-lead]")).to_contain_text("Of 14 set-ups (robot)")
    assert short.locator(SHOWN).count() == 10
    expect(short.get_by_role("button", name="Show the other 4")).to_be_visible()

    short.get_by_role("button", name="Take the filter off").click()
    short.get_by_role("button", name="Price").click()
    prices = short.locator(f"{SHOWN} .price").evaluate_all("all => all.map(c => +c.dataset.value)")
    every = short.locator("[data-rows] .price").evaluate_all(
        "all => all.map(c => +c.dataset.value)"
    )
    assert prices == sorted(price for price in every if price)[:10]

    short.get_by_label("Find a name").fill("VELLOQ-12")
    expect(short.locator(SHOWN).locator(".name a").first).to_have_text("Ubresk Velloq 1200")
    expect(short.locator("[data-filter-count]")).to_contain_text("of 39 shown")


def test_a_line_written_in_numerals_is_drawn_as_the_page_would_have(short: Page) -> None:
    """Take the drawings of one line away, have it completed, and compare."""
    before, after = short.evaluate(
        """() => {
          const line = document.querySelectorAll('[data-rows] > tr')[20];
          const drawn = () => ['.bracket', '.dot', '.reach'].map((part) => {
            const node = line.querySelector(part);
            return node.getAttribute('d') ?? node.getAttribute('cx');
          });
          const [bracket, dot, reach] = drawn();
          const mean = line.querySelector('.mean').getAttribute('d');
          line.querySelector('.interval').dataset.reach = reach + mean;
          for (const node of line.querySelectorAll('.strip, .could')) node.remove();
          line.setAttribute('data-lean', '');
          trialpress.rows.complete(line);
          return [[bracket, dot, reach + mean], drawn()];
        }"""
    )

    assert after == before


def test_a_lean_line_has_all_figures_and_no_drawing() -> None:
    partial = environment(Templates()).get_template("partials/ranking.html")
    line = SimpleNamespace(
        place_key=61,
        place="61",
        places="40\N{EN DASH}88",
        places_spoken="anywhere from 40th to 88th",
        name=SimpleNamespace(
            full="Kelding Two (slow)", machine="Kelding Two", label="slow", url=""
        ),
        keys=SimpleNamespace(kind_words="robot", price="300", price_words="EUR 300"),
        value_key="88.0",
        value="88.0",
        reach=SimpleNamespace(line="M10 8H20", mean="M15 3V13"),
        interval="82.0 to 94.0",
        marks=(),
    )

    written = partial.module.ranking_cells(line, "../", "", is_lean=True)  # type: ignore[attr-defined]

    assert "<svg" not in written
    assert 'data-reach="M10 8H20M15 3V13"' in written
    assert all(
        figure in written for figure in (">61<", ">40\N{EN DASH}88<", ">88.0<", "82.0 to 94.0")
    )
