"""A standing measured against the set-up that a reader chooses."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from trialpress.charts import read_theme
from web.conftest import OpenPage, attributes
from web.reading_results import plain, read_results, verdict_words


@pytest.fixture
def standing(built_site: Path) -> Path:
    return built_site / "standings" / "deep-rug.html"


def setups(page: Page) -> list[str]:
    return attributes(page.locator("[data-rows] > tr"), "data-setup")


def width(part: Locator) -> float:
    box = part.bounding_box()
    return box["width"] if box else 0.0


def relation_in(page: Page, setup: str) -> tuple[str, str]:
    """The verdict and the difference in the row of a set-up."""
    cell = page.locator(f"tr[data-setup='{setup}'] td.compared")
    verdict = cell.locator(".verdict").text_content() or ""
    return verdict.strip(), plain(cell.locator(".difference").text_content() or "")


def relations(page: Page) -> dict[str, tuple[str, str]]:
    """The verdict and the difference in the row of every set-up, read at once."""
    rows: list[tuple[str, str, str]] = page.locator("[data-rows] > tr").evaluate_all(
        """rows => rows.map((row) => [
          row.dataset.setup,
          row.querySelector('td.compared .verdict').textContent,
          row.querySelector('td.compared .difference').textContent,
        ])"""
    )
    return {setup: (verdict.strip(), plain(difference)) for setup, verdict, difference in rows}


def test_without_scripts_all_are_measured_against_the_first_with_differences(
    standing: Path, open_page: OpenPage
) -> None:
    page = open_page(standing, scripts=False)
    first, second = setups(page)[:2]

    assert relation_in(page, first) == ("first by mean", "")
    verdict, difference = relation_in(page, second)
    assert verdict.startswith("cannot tell; could ")
    assert re.fullmatch(r"-\d+\.\d \(-\d+\.\d to \d+\.\d\)", difference)
    expect(page.locator("td.choose").first).to_be_hidden()


@pytest.mark.parametrize("position", [1, 5, -1])
def test_every_row_says_what_the_published_comparison_with_the_chosen_one_says(
    position: int, standing: Path, built_site: Path, open_page: OpenPage
) -> None:
    chosen = setups(open_page(standing, scripts=False))[position]
    page = open_page(f"{standing.as_uri()}?against={chosen}")
    expect(page.locator("[data-measured]")).to_be_visible()
    published = {
        row["setup"]: row
        for row in read_results(built_site, "comparisons")
        if (row["protocol"], row["version"], row["other"]) == ("deep-rug", "2", chosen)
    }

    (series,) = (
        row
        for row in read_results(built_site, "series")
        if (row["protocol"], row["version"]) == ("deep-rug", "2")
    )
    shown = relations(page)
    assert shown.pop(chosen) == ("the one chosen", "")
    assert set(shown) == set(published) != set()
    for setup, row in published.items():
        sign = "+" if float(row["difference"]) > 0 else ""
        assert shown[setup] == (
            verdict_words(row, series),
            f"{sign}{float(row['difference']):.1f} "
            f"({float(row['low']):.1f} to {float(row['high']):.1f})".replace("-0.0", "0.0"),
        )


def test_the_arrow_keys_choose_the_next_row_and_the_address_keeps_it(
    standing: Path, open_page: OpenPage
) -> None:
    page = open_page(standing)
    second = setups(page)[1]
    page.get_by_role("radio").first.focus()

    page.keyboard.press("ArrowDown")

    expect(page.locator(f"tr[data-setup='{second}']")).to_have_attribute(
        "data-measured-against", ""
    )
    expect(page.locator("[data-against-head]")).to_have_text("Against the chosen")
    assert page.url.endswith(f"?against={second}")


def test_a_click_anywhere_in_a_row_chooses_it_in_table_and_chart(
    standing: Path, open_page: OpenPage
) -> None:
    page = open_page(standing)
    row = page.locator("[data-rows] > tr").nth(2)
    name = row.locator(".name").get_attribute("data-value") or ""

    row.locator("td.value").click()

    expect(page.locator("[data-measured-name]")).to_have_text(name)
    page.mouse.move(0, 0)
    drawn = page.locator(".wide text", has_text=name.split(" (", maxsplit=1)[0]).first
    expect(drawn).to_have_attribute("fill", read_theme().light.accent)


def test_going_back_measures_against_nobody_again(standing: Path, open_page: OpenPage) -> None:
    page = open_page(standing)
    page.get_by_role("radio").nth(3).check()
    expect(page.locator("[data-measured]")).to_be_visible()

    page.go_back()

    expect(page.locator("[data-measured]")).to_be_hidden()
    expect(page.locator("input[name=against]:checked")).to_have_count(0)
    expect(page.locator("td.compared").first).to_be_hidden()


def test_the_button_ends_the_measuring_and_keeps_the_focus_in_the_table(
    standing: Path, open_page: OpenPage
) -> None:
    page = open_page(f"{standing.as_uri()}?against=aluen-6-bristle")
    page.get_by_role("button", name="Measure no more").press("Enter")

    expect(page.locator("[data-measured]")).to_be_hidden()
    expect(page.locator("tr[data-setup='aluen-6-bristle'] input")).to_be_focused()
    assert "against" not in page.url


def test_a_choice_that_the_standing_does_not_know_is_none(
    standing: Path, open_page: OpenPage
) -> None:
    page = open_page(f"{standing.as_uri()}?against=nobody")

    expect(page.locator("input[name=against]:checked")).to_have_count(0)
    expect(page.locator("[data-measured]")).to_be_hidden()


def test_what_a_set_up_could_be_is_said_where_its_row_has_the_focus(
    standing: Path, open_page: OpenPage
) -> None:
    page = open_page(standing)
    could = page.locator("[data-rows] > tr").nth(1).locator(".could")
    assert width(could) <= 1

    page.locator("[data-rows] > tr").nth(1).get_by_role("link").first.focus()

    expect(could).to_have_text(re.compile(r"^could be anywhere from 1st to \d+th$"))
    assert width(could) > 100


def test_on_a_phone_a_tap_opens_the_row_with_what_it_could_be_and_the_control(
    standing: Path, open_page: OpenPage
) -> None:
    page = open_page(standing, width=320, height=700)
    row = page.locator("[data-rows] > tr").nth(1)

    row.scroll_into_view_if_needed()
    box = row.locator("td.value").bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + 5, box["y"] + 5)  # anywhere: the whole row opens
    expect(row.get_by_role("radio")).to_be_visible()
    assert width(row.locator(".could")) > 100
    row.get_by_role("radio").check()

    expect(page.locator("[data-measured]")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") == 320


def test_an_earlier_version_is_one_press_away_and_says_it_cannot_be_compared(
    standing: Path, open_page: OpenPage
) -> None:
    page = open_page(standing)
    versions = page.get_by_role("navigation", name="Protocol version")

    expect(versions.get_by_role("link", name="version 2")).to_have_attribute("aria-current", "page")
    versions.get_by_role("link", name="version 1").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("Dust deep in a rug, version 1")
    expect(page.get_by_text("Results of different versions are not comparable.")).to_be_visible()


def test_a_phone_orders_rows_by_a_list_and_no_unseen_heading_takes_the_focus(
    standing: Path, open_page: OpenPage
) -> None:
    page = open_page(standing, width=320, height=700)
    published = setups(page)

    page.get_by_label("Order by").select_option("Place, largest first")

    cells = page.locator("[data-rows] > tr > td.place")
    places = [int(value) for value in attributes(cells, "data-value")]
    assert places == sorted(places, reverse=True)
    assert page.url.endswith("?sort=place-down")
    page.go_back()
    assert setups(page) == published
    expect(page.get_by_label("Order by")).to_have_value("place-up")
    page.get_by_label("Order by").focus()
    page.keyboard.press("Tab")
    assert not page.evaluate("document.activeElement.closest('thead') !== null")


def test_on_a_wide_screen_the_headings_sort_and_the_list_is_away(
    standing: Path, open_page: OpenPage
) -> None:
    page = open_page(standing)

    expect(page.get_by_label("Order by")).to_be_hidden()
    expect(page.get_by_role("button", name="Place")).to_be_visible()
