"""Search: by keyboard, forgiving, and in plain links where there are no scripts."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from web.conftest import OpenPage, Reader

INDEX = "**/search-index.js"


def box(page: Page) -> Locator:
    return page.get_by_role("combobox", name="Find")


def status(page: Page) -> Locator:
    return page.locator("[data-search] [role=status]")


def selected(page: Page) -> Locator:
    return page.get_by_role("listbox").get_by_role("option", selected=True)


def titles(page: Page) -> list[str]:
    return page.locator("[role=option] > :first-child").all_text_contents()


def type_in(page: Page, text: str) -> None:
    box(page).fill(text)
    expect(status(page)).to_contain_text("match")


def test_the_index_is_loaded_when_the_box_is_first_used(
    open_page: OpenPage, small_site: Path
) -> None:
    page = open_page(small_site / "standings" / "carpet.html")
    find = box(page)
    assert not page.evaluate("'trialpressIndex' in window")

    find.focus()

    page.wait_for_function("() => 'trialpressIndex' in window")


def test_arrows_move_through_the_matches_and_enter_opens_one(
    open_page: OpenPage, small_site: Path
) -> None:
    page = open_page(small_site / "standings" / "carpet.html")
    type_in(page, "keld")
    find = box(page)
    expect(find).to_have_attribute("aria-expanded", "true")
    expect(selected(page)).to_have_count(0)

    page.keyboard.press("ArrowDown")
    expect(selected(page)).to_contain_text("Kelding")
    page.keyboard.press("ArrowDown")
    expect(selected(page)).to_contain_text("maker")
    active = find.get_attribute("aria-activedescendant")
    expect(selected(page)).to_have_attribute("id", active or "")
    page.keyboard.press("Enter")

    page.wait_for_url("**/makers/kelding.html")


def test_enter_waits_for_the_list_of_what_is_typed(open_page: OpenPage, small_site: Path) -> None:
    page = open_page("about:blank")
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route(INDEX, hold)
    page.goto((small_site / "standings" / "carpet.html").as_uri())
    box(page).fill("ostrel one")
    page.keyboard.press("Enter")
    while not held:
        page.wait_for_timeout(50)
    assert page.url.endswith("carpet.html")

    held[0].continue_()

    page.wait_for_url("**/machines/ostrel-one.html")


def test_enter_goes_to_the_search_page_where_the_index_cannot_be_loaded(
    reader: Reader, small_site: Path
) -> None:
    with reader.context.new_page() as page:  # one whose errors are let be
        page.route(INDEX, lambda route: route.abort())
        page.goto((small_site / "standings" / "carpet.html").as_uri())
        box(page).fill("ostrel")

        page.keyboard.press("Enter")

        page.wait_for_url("**/search.html?q=ostrel")


def test_arrows_go_round_at_both_ends(open_page: OpenPage, small_site: Path) -> None:
    page = open_page(small_site / "search.html")
    type_in(page, "keld")

    page.keyboard.press("ArrowUp")
    expect(selected(page)).to_contain_text("maker")
    page.keyboard.press("ArrowDown")

    expect(selected(page)).to_contain_text("Kelding Two")


def test_escape_closes_the_list_and_keeps_the_words(open_page: OpenPage, small_site: Path) -> None:
    page = open_page(small_site / "search.html")
    type_in(page, "keld")

    page.keyboard.press("Escape")

    expect(page.get_by_role("listbox")).to_be_hidden()
    expect(box(page)).to_have_value("keld")
    expect(box(page)).to_have_attribute("aria-expanded", "false")


def test_leaving_the_box_closes_the_list(open_page: OpenPage, small_site: Path) -> None:
    page = open_page(small_site / "search.html")
    type_in(page, "keld")

    page.keyboard.press("Tab")

    expect(page.get_by_role("listbox")).to_be_hidden()


def test_a_match_can_be_clicked(open_page: OpenPage, small_site: Path) -> None:
    page = open_page(small_site / "standings" / "carpet.html")
    type_in(page, "ostrel")

    page.get_by_role("option", name="Ostrel One").click()

    page.wait_for_url("**/machines/ostrel-one.html")


@pytest.fixture(scope="module")
def search_page(small_site: Path, open_for_all: OpenPage) -> Page:
    """A page to search in, one thing after the other."""
    return open_for_all(small_site / "search.html")


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("kelding", "Kelding"),  # the whole title before the beginning of one
        ("two", "Kelding Two"),  # the beginning of a word
        ("trel", "Ostrel One"),  # the middle of a word
        ("carpet dust", "Dust from carpet"),  # words in any order
        ("stick", "Kelding Two"),  # what only the extra words say
        ("creme", "Crème floor"),  # without accents
        ("CRÈME", "Crème floor"),  # with capitals
        ("keldign", "Kelding Two"),  # two letters swapped
        ("keldnig", "Kelding Two"),
        ("kedling", "Kelding Two"),
        ("ostrl", "Ostrel One"),  # a letter missing
        ("osttrel", "Ostrel One"),  # a letter too many
        ("ostral", "Ostrel One"),  # a letter wrong
        ("ostarl", "Ostrel One"),  # two
        ("keldingtwo", "Kelding Two"),  # run together
        ("fluffy", "Dust from carpet"),  # a reader's word
        ("pet hair", "Crème floor"),  # two that are one
        ("under 400", "Ostrel One"),  # a price
        ("robot < 300 EUR", "Ostrel One"),
        ("fluffy robot 300 eur", "Dust from carpet: robot, up to EUR\u00a0300"),
    ],
)
def test_the_best_match_comes_first(search_page: Page, typed: str, first: str) -> None:
    box(search_page).fill("")
    expect(search_page.get_by_role("listbox")).to_be_hidden()

    type_in(search_page, typed)

    assert titles(search_page)[0] == first


def test_words_that_match_nothing_are_answered_in_words(
    open_page: OpenPage, small_site: Path
) -> None:
    page = open_page(small_site / "search.html")

    type_in(page, "zeppelin")

    expect(status(page)).to_have_text("No page matches.")
    expect(page.get_by_role("listbox")).to_be_hidden()


def test_the_search_page_lists_every_match_of_its_address(
    open_page: OpenPage, small_site: Path
) -> None:
    page = open_page(f"{(small_site / 'search.html').as_uri()}?q=ostrel")

    links = page.locator("[data-search-results] a")

    expect(links).to_have_text(["Ostrel One", "Dust from carpet"])
    expect(box(page)).to_have_value("ostrel")


def test_the_button_leads_to_all_matches(open_page: OpenPage, small_site: Path) -> None:
    page = open_page(small_site / "standings" / "carpet.html")
    type_in(page, "ostrel")

    page.get_by_role("button", name="Find").click()

    page.wait_for_url("**/search.html?q=ostrel")


def test_words_typed_by_a_reader_are_shown_as_words(open_page: OpenPage, small_site: Path) -> None:
    page = open_page(f"{(small_site / 'search.html').as_uri()}?q=<img src=x onerror=alert(1)>")

    expect(page.locator("[data-search-results] h2")).to_contain_text("<img src=x")
    assert page.locator("[data-search-results] img").count() == 0


def test_several_matches_make_a_list_and_a_single_one_is_opened(
    open_page: OpenPage, small_site: Path
) -> None:
    page = open_page(small_site / "standings" / "carpet.html")
    type_in(page, "ostrel")

    page.keyboard.press("Enter")
    page.wait_for_url("**/search.html?q=ostrel")

    type_in(page, "kelding two")
    page.keyboard.press("Enter")
    page.wait_for_url("**/machines/kelding-two.html")


@pytest.mark.parametrize(
    ("typed", "first", "note"),
    [
        ("ostrel zeppelin", "Ostrel One", "Left out, as no page has it: “zeppelin”."),
        ("kelding ostrel", "Ostrel One", "None has all of these words; these have most of them."),
    ],
)
def test_what_is_true_of_the_matches_only_in_part_is_said_in_the_list(
    open_page: OpenPage, small_site: Path, typed: str, first: str, note: str
) -> None:
    page = open_page(small_site / "standings" / "carpet.html")

    type_in(page, typed)

    expect(page.locator("[data-search] .found > p")).to_have_text(note)
    expect(status(page)).to_contain_text(note)
    assert titles(page)[0] == first


def test_a_price_leaves_out_what_costs_more_and_what_has_no_known_price(
    open_page: OpenPage, small_site: Path
) -> None:
    page = open_page(small_site / "search.html")

    type_in(page, "up to 299")

    expect(status(page)).to_have_text("No page matches.")


def test_a_price_finds_only_machines_whose_price_is_in_the_bench_s_money(
    open_page: OpenPage, small_site: Path
) -> None:
    page = open_page(small_site / "search.html")

    type_in(page, "under 400")

    expect(status(page)).to_contain_text("Only machines with a price in EUR are among them.")


def test_matches_push_nothing_down_that_was_in_sight(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(f"{(built_site / 'search.html').as_uri()}?q=hair")
    expect(page.locator("[data-search-results] a").first).to_be_visible()

    shift = page.evaluate(
        """new Promise((done) => {
            new PerformanceObserver((list) => {
                done(list.getEntries().reduce((sum, { value }) => sum + value, 0));
            }).observe({ type: 'layout-shift', buffered: true });
            setTimeout(() => done(0), 300);
        })"""
    )

    assert shift <= 0.02
