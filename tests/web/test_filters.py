"""Filters: rows, charts, count and address go together, forwards and back."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page, expect

from web.conftest import OpenPage, attributes


def shown(page: Page) -> list[str]:
    """The set-ups whose rows can be seen, from the top."""
    return attributes(page.locator("[data-rows] > tr:visible"), "data-setup")


def expect_count(page: Page, words: str) -> None:
    expect(page.locator("[data-filter-count]")).to_have_text(words)


def test_without_scripts_the_filters_stay_away_and_all_rows_are_there(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing, scripts=False)

    expect(page.locator("[data-filters]")).to_be_hidden()
    assert len(shown(page)) == 3


def test_a_filter_leaves_matching_rows_in_the_table_and_in_the_chart(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)

    page.get_by_label("Kind").select_option("robot")

    expect_count(page, "2 of 3 shown")
    assert shown(page) == ["one-stock", "one-slow"]
    expect(page.locator(".wide text", has_text="Kelding Two")).to_have_count(0)
    expect(page.locator(".wide text", has_text="Ostrel One")).to_have_count(2)


def test_a_set_up_without_a_price_passes_no_price(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)

    page.get_by_label("From", exact=True).fill("1")

    expect_count(page, "2 of 3 shown")
    assert "two-stock" not in shown(page)


def test_where_nothing_matches_table_and_chart_are_empty_and_nothing_breaks(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)

    page.get_by_label("To", exact=True).fill("1")

    expect_count(page, "0 of 3 shown")
    expect(page.locator(".wide text", has_text="Ostrel One")).to_have_count(0)


def test_an_address_with_filters_opens_exactly_that_view(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(f"{small_standing.as_uri()}?kind=robot&complete=true")

    expect_count(page, "1 of 3 shown")
    assert shown(page) == ["one-stock"]
    expect(page.get_by_label("Kind")).to_have_value("robot")
    expect(page.get_by_label("complete")).to_be_checked()
    expect(page.locator(".wide text", has_text="Ostrel One (slow)")).to_have_count(0)


def test_a_filter_that_the_page_does_not_know_is_no_filter(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(f"{small_standing.as_uri()}?kind=blimp&other=1")

    expect_count(page, "3 of 3 shown")


def test_the_address_goes_with_the_filters_and_the_browser_goes_back_and_forward(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)
    page.get_by_label("Kind").select_option("robot")
    page.get_by_label("complete").check()
    assert page.url.endswith("carpet.html?kind=robot&complete=true")

    page.go_back()
    expect_count(page, "2 of 3 shown")
    expect(page.get_by_label("complete")).not_to_be_checked()
    page.go_back()
    expect_count(page, "3 of 3 shown")
    expect(page.locator(".wide text", has_text="Kelding Two")).to_have_count(1)
    page.go_forward()

    expect_count(page, "2 of 3 shown")
    expect(page.get_by_label("Kind")).to_have_value("robot")


def test_show_all_takes_every_filter_away_also_those_of_the_address(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(f"{small_standing.as_uri()}?kind=stick")
    expect_count(page, "1 of 3 shown")

    page.get_by_role("button", name="Show all").click()

    expect_count(page, "3 of 3 shown")
    assert page.url.endswith("carpet.html")
    expect(page.locator(".wide text", has_text="Ostrel One")).to_have_count(2)


def test_a_heading_sorts_its_column_up_and_then_down(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)
    heading = page.get_by_role("columnheader", name="Set-up")

    page.get_by_role("button", name="Set-up").click()
    assert shown(page) == ["two-stock", "one-stock", "one-slow"]
    expect(heading).to_have_attribute("aria-sort", "ascending")

    page.get_by_role("button", name="Set-up").click()
    assert shown(page) == ["one-slow", "one-stock", "two-stock"]
    expect(heading).to_have_attribute("aria-sort", "descending")
    assert page.locator("[aria-sort]").count() == 1


def test_what_is_missing_is_sorted_last_in_both_directions(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)
    price = page.get_by_role("button", name="Price")

    price.click()
    assert shown(page) == ["one-stock", "one-slow", "two-stock"]
    price.click()
    assert shown(page) == ["one-stock", "one-slow", "two-stock"]


def test_the_order_is_part_of_the_address_and_of_going_back(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(f"{small_standing.as_uri()}?kind=robot&sort=set-up-down")
    assert shown(page) == ["one-slow", "one-stock"]

    page.get_by_role("button", name="Place").click()
    assert "sort=place-up" in page.url
    assert shown(page) == ["one-stock", "one-slow"]
    page.go_back()

    expect_count(page, "2 of 3 shown")
    assert shown(page) == ["one-slow", "one-stock"]


def test_an_order_that_the_page_does_not_know_is_the_published_order(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(f"{small_standing.as_uri()}?sort=weight-down")

    expect_count(page, "3 of 3 shown")
    assert shown(page) == ["one-stock", "two-stock", "one-slow"]


def test_headings_can_be_pressed_from_the_keyboard(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)

    page.get_by_role("button", name="Set-up").focus()
    page.keyboard.press("Enter")

    assert shown(page)[0] == "two-stock"
