"""All set-ups on all protocols in one table."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from trialpress.results.places import place_range, places_of
from web.conftest import OpenPage, attributes
from web.reading_results import read_results


@pytest.fixture
def matrix(built_site: Path, open_page: OpenPage) -> Page:
    return open_page(built_site / "matrix.html")


@pytest.fixture(scope="module")
def untouched(built_site: Path, open_for_all: OpenPage) -> Page:
    """The page as it opens; tests only read it."""
    return open_for_all(built_site / "matrix.html")


def column(page: Page, title: str) -> list[str]:
    """What the visible rows are sorted by in one column; blank where there is no place."""
    headings = [
        words.strip(" ↑↓") for words in page.locator(".matrix thead th").all_text_contents()
    ]
    index = headings.index(title) + 1
    cells = page.locator(f"[data-rows] > tr:visible > :nth-child({index})")
    return attributes(cells, "data-value")


def test_every_set_up_and_every_current_standing_is_there(
    untouched: Page, built_site: Path
) -> None:
    current = {
        (row["protocol"], row["version"]): row["title"]
        for row in read_results(built_site, "series")
        if row["is_current"] == "true" and row["version"] == row["series_version"]
    }
    standings = [
        row
        for row in read_results(built_site, "standings")
        if (row["protocol"], row["version"]) in current
    ]

    assert len(current) > 5
    for key, title in current.items():
        own = [row for row in standings if (row["protocol"], row["version"]) == key]
        places = sorted(row["place"] for row in own)
        assert sorted(place for place in column(untouched, title) if place) == places


def test_what_was_not_run_says_so_in_words(untouched: Page) -> None:
    torvek = untouched.locator("tr[data-setup=torvek-80-stock]")

    expect(torvek.locator("[data-label='Dried stains on tiles']")).to_have_text("not run")


def test_any_protocol_sorts_the_rows_with_what_is_missing_last(matrix: Page) -> None:
    assert column(matrix, "Overall")[:3] == ["1", "2", "3"]
    heading = matrix.get_by_role("button", name="Running time on a charge")

    heading.press("Enter")
    places = column(matrix, "Running time on a charge")

    known = [int(place) for place in places if place]
    assert known == sorted(known)
    assert places[: len(known)] == [str(place) for place in known]
    assert "sort=running-time-on-a-charge-up" in matrix.url


def test_filters_leave_rows_out_and_say_how_many(matrix: Page) -> None:
    matrix.get_by_label("Kind").select_option("stick")

    shown = matrix.locator("[data-rows] > tr:visible").count()
    expect(matrix.locator("[data-filter-count]")).to_have_text(f"{shown} of 47 shown")
    assert 0 < shown < 47


def test_a_filtered_matrix_has_places_among_those_shown_and_in_all_as_results_make_them(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "matrix.html")
    table = page.locator("[data-rows]")
    as_published = table.inner_text()
    page.get_by_label("Kind").select_option("stick")
    cells = page.locator("[data-rows] > tr:visible [data-label='Dust on loop carpet']")
    expect(cells.first.locator(".of")).to_contain_text("in all")

    sticks = set(attributes(page.locator("tr:visible"), "data-setup"))
    rows = [
        row
        for row in read_results(built_site, "standings")
        if row["protocol"] == "carpet" and row["setup"] in sticks
    ]
    rows.sort(key=lambda row: int(row["position"]))
    better = {
        (row["setup"], row["other"])
        for row in read_results(built_site, "comparisons")
        if (row["protocol"], row["relation"]) == ("carpet", "better")
    }
    places = places_of(np.array([float(row["mean"]) for row in rows]), higher_is_better=True)
    best, worst = place_range(
        np.array([[(a["setup"], b["setup"]) in better for b in rows] for a in rows])
    )
    assert len(rows) > 5
    for row, place, first, last in zip(rows, places, best, worst, strict=True):
        cell = page.locator(f"tr[data-setup={row['setup']}] [data-label='Dust on loop carpet']")
        could = f"{first}" if first == last else f"{first}\N{EN DASH}{last}"
        expect(cell.locator(".nth")).to_have_text(f"{place}")
        expect(cell.locator(".of-range")).to_have_text(could)
        expect(cell.locator(".of")).to_have_text(f"{row['place']} in all")
    expect(page.locator("[data-filtered]")).to_contain_text("places are among these")

    page.get_by_role("button", name="Take the filter off").click()

    expect(page.locator("[data-filtered]")).to_be_hidden()
    expect(table).to_have_text(as_published, use_inner_text=True)  # rows further down come last


def test_on_a_phone_a_set_up_is_one_line_that_opens(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "matrix.html", width=320, height=700)
    row = page.locator("[data-rows] > tr").first
    carpet = row.locator("[data-label='Dust on loop carpet']")
    expect(carpet).to_be_hidden()

    row.locator("summary").press("Enter")

    expect(carpet).to_be_visible()
    page.get_by_label("Order by").select_option("Noise at ear height, smallest first")
    assert column(page, "Noise at ear height")[0] == "1"
    assert page.evaluate("document.documentElement.scrollWidth") == 320


def test_only_the_columns_of_chosen_floors_are_shown_and_the_address_keeps_them(
    matrix: Page, open_page: OpenPage
) -> None:
    matrix.get_by_label("Moss rug").check()
    matrix.get_by_label("Ribbed door mat").check()

    again = open_page(matrix.url)
    for page in (matrix, again):
        titles = page.locator(".matrix thead th:visible").all_inner_texts()
        assert [title.strip(" \u2191\u2193") for title in titles] == [
            "Set-up",
            "Overall",
            "Dust deep in a rug",
            "Long hair on a door mat",
        ]
        assert page.locator("[data-rows] > tr").first.locator("td:visible").count() == 3
    again.get_by_label("Moss rug").uncheck()
    again.get_by_label("Ribbed door mat").uncheck()
    expect(again.get_by_role("button", name="Crumbs on tiles")).to_be_visible()


def test_every_mean_is_drawn_with_its_interval_on_the_scale_of_its_column(
    built_site: Path, open_page: OpenPage
) -> None:
    """Mean and both ends lie as far from each other as the published figures do."""
    rows = {
        row["setup"]: row
        for row in read_results(built_site, "standings")
        if row["protocol"] == "hair"
    }
    page = open_page(built_site / "matrix.html", scripts=False)
    drawn = {
        setup: [float(number) for number in re.findall(r"[\d.]+", path)]
        for setup in rows
        for path in [
            page.locator(
                f"tr[data-setup={setup}] [data-label='Long hair on a door mat'] path"
            ).first.get_attribute("d", timeout=1000)
            or ""
        ]
    }
    scales = {
        round((end - start) / (float(rows[setup]["high"]) - float(rows[setup]["low"])), 1)
        for setup, (start, _, end, *_) in drawn.items()
        if float(rows[setup]["high"]) - float(rows[setup]["low"]) > 5
    }

    assert len(drawn) > 10
    assert max(scales) - min(scales) <= 0.2


def test_without_scripts_the_whole_table_is_there(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "matrix.html", scripts=False)

    assert page.locator("[data-rows] > tr:visible").count() == 47
