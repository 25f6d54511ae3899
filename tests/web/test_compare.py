"""Set-ups side by side: what a link opens, and how a reader changes it."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from web.conftest import OpenPage
from web.reading_results import plain, read_results, verdict_words

FIRST, SECOND = "torvek-80-stock", "aluen-6-bristle"


@pytest.fixture
def pair(built_site: Path, open_page: OpenPage) -> Page:
    address = (built_site / "compare.html").as_uri()
    return open_page(f"{address}?with={FIRST},{SECOND}")


@pytest.fixture(scope="module")
def untouched(built_site: Path, open_for_all: OpenPage) -> Page:
    """The same two as the link opens them; tests only read it."""
    return open_for_all(f"{(built_site / 'compare.html').as_uri()}?with={FIRST},{SECOND}")


def names(page: Page) -> list[str]:
    """What the columns are called, left to right."""
    page.locator("[data-compare-table] thead th").first.wait_for()
    return page.locator("[data-compare-table] thead th > a").all_text_contents()


def test_every_protocol_has_the_published_mean_and_the_difference_in_words(
    untouched: Page, built_site: Path
) -> None:
    comparisons = read_results(built_site, "comparisons")
    current = {
        (row["protocol"], row["version"]): row
        for row in read_results(built_site, "series")
        if row["is_current"] == "true"
    }
    published = [
        row
        for row in comparisons
        if (row["setup"], row["other"]) == (SECOND, FIRST)
        and (row["protocol"], row["version"]) in current
    ]
    means = {
        (row["protocol"], row["setup"]): row
        for row in read_results(built_site, "standings")
        if (row["protocol"], row["version"]) in current
    }
    assert len(published) >= 5

    for row in published:
        series = current[row["protocol"], row["version"]]
        line = untouched.locator("[data-compare-table] tr", has_text=series["title"])
        for column, setup in enumerate((FIRST, SECOND)):
            standing = means[row["protocol"], setup]
            mean = f"{float(standing['mean']):.{standing['decimals']}f}"
            expect(line.locator("td").nth(column).locator(".value")).to_have_text(mean)
        told = line.locator("td").nth(1).locator(".than-first")
        expect(told.locator(".verdict")).to_have_text(verdict_words(row, series))
        words = plain(told.locator(".difference").text_content() or "")
        difference, _, interval = words.partition(" (")
        low, _, high = interval.rstrip(")").partition(" to ")
        assert [float(difference), float(low), float(high)] == [
            float(row[column]) for column in ("difference", "low", "high")
        ]


def test_what_a_set_up_is_and_what_others_claim_stand_beside_each_other(untouched: Page) -> None:
    table = untouched.locator("[data-compare-table] table")

    for what in ("Kind", "Head", "Price", "How it came here", "Claims by others"):
        row = table.get_by_role("row").filter(has=untouched.get_by_role("rowheader", name=what))
        assert row.locator("td").count() == 2
        assert all(text.strip() for text in row.locator("td").all_text_contents())


def test_adding_and_taking_away_changes_the_table_and_the_address(pair: Page) -> None:
    pair.get_by_label("Add a set-up").select_option("fenlow-9-stock")
    assert names(pair) == ["Drovanne Torvek 80", "Taldure Aluen 6", "Eddermoor Fenlow 9"]
    assert pair.url.endswith(f"?with={FIRST},{SECOND},fenlow-9-stock")

    pair.get_by_role("button", name="Take away: Taldure Aluen 6").click()
    expect(pair.locator("[data-compare-table] thead th")).to_have_count(2)
    assert names(pair) == ["Drovanne Torvek 80", "Eddermoor Fenlow 9"]
    pair.go_back()

    expect(pair.locator("[data-compare-table] thead th")).to_have_count(3)


def test_another_one_put_first_turns_the_differences_round(pair: Page) -> None:
    deep = pair.locator("[data-compare-table] tr", has_text="Dust deep in a rug")
    expect(deep.locator(".than-first .verdict")).to_have_text("worse")

    pair.get_by_role("button", name="Put first: Taldure Aluen 6").press("Enter")

    expect(deep.locator(".than-first .verdict")).to_have_text("better")
    expect(pair.get_by_label("Add a set-up")).to_be_focused()  # the pressed button is gone


def test_no_more_than_four_fit_and_none_twice(built_site: Path, open_page: OpenPage) -> None:
    address = (built_site / "compare.html").as_uri()
    five = f"{FIRST},{FIRST},nobody,{SECOND},fenlow-9-stock,ilvane-1-stock,aluen-6-roller"
    page = open_page(f"{address}?with={five}")

    assert len(names(page)) == 4
    expect(page.get_by_label("Add a set-up")).to_be_disabled()
    expect(page.locator("[data-compare-status]")).to_contain_text("as many as fit")


def test_a_protocol_that_one_was_not_run_on_says_so_and_gives_no_difference(
    untouched: Page,
) -> None:
    stains = untouched.locator("[data-compare-table] tr", has_text="Dried stains on tiles")

    expect(stains.locator("td").first).to_contain_text("not run")
    expect(stains.locator(".than-first")).to_have_count(0)


def test_with_nothing_chosen_a_pair_is_offered(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "compare.html")

    page.locator("[data-compare-start] a").click()

    assert len(names(page)) == 2


def test_standings_and_machines_lead_here(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(f"{(built_site / 'standings' / 'deep-rug.html').as_uri()}?against={SECOND}")
    expect(page.locator("[data-measured]")).to_be_visible()
    page.locator(f"tr[data-setup={FIRST}] .beside").focus()
    page.keyboard.press("Enter")
    assert names(page) == ["Taldure Aluen 6", "Drovanne Torvek 80"]

    page = open_page(built_site / "machines" / "torvek-80.html")
    page.get_by_role("link", name="beside others").first.click()
    assert names(page) == ["Drovanne Torvek 80"]


def test_without_scripts_it_explains_itself_and_leads_on(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "compare.html", scripts=False)

    expect(page.get_by_text("scripts are switched off here")).to_be_visible()
    expect(page.get_by_label("Add a set-up")).to_be_hidden()
    page.get_by_role("link", name="own page").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Machines")


def test_every_protocol_draws_its_intervals_on_one_ruler(untouched: Page, built_site: Path) -> None:
    """The ends of both lines are where the ruler has their figures."""
    rows = {
        row["setup"]: row
        for row in read_results(built_site, "standings")
        if row["protocol"] == "hair" and row["setup"] in {FIRST, SECOND}
    }
    line = untouched.locator("[data-compare-table] tr", has_text="Long hair on a door mat")
    drawn = line.locator(".beside-line .reach").evaluate_all(
        "paths => paths.map(p => p.getAttribute('d').match(/-?[\\d.]+/g).map(Number))"
    )
    figures = line.locator(".beside-ruler text").evaluate_all(
        "all => all.map(t => [parseFloat(t.getAttribute('x')) * 10, Number(t.textContent)])"
    )
    (one, low), (other, high) = figures[0], figures[-1]

    for setup, (start, _, end) in zip((FIRST, SECOND), drawn, strict=True):
        for column, along in (("low", start), ("high", end)):
            value = low + (high - low) * (along - one) / (other - one)
            assert value == pytest.approx(float(rows[setup][column]), abs=0.1)


def test_without_scripts_the_first_two_stand_beside_each_other(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "compare.html", scripts=False)
    table = page.locator("table.beside-each-other")
    written = [table.locator("tr", has_text="rug").locator("td").nth(1).inner_text()]
    address = page.locator("[data-compare-start] a").get_attribute("href") or ""

    page = open_page(f"{(built_site / 'compare.html').as_uri()}?{address.partition('?')[2]}")

    table = page.locator("[data-compare-table]")
    assert written == [table.locator("tr", has_text="rug").locator("td").nth(1).inner_text()]


def test_the_data_stay_small(built_site: Path) -> None:
    """What one choice loads: 4 kB a set-up, and no more than 20 bytes a pair of its own."""
    data = built_site / "static" / "data"
    assert max(file.stat().st_size for file in (data / "setups").glob("*.js")) < 4_000
    pairs = len(read_results(built_site, "comparisons"))
    files = list((data / "relations").glob("*.js"))
    assert sum(file.stat().st_size for file in files) < 20 * pairs + 1_500 * len(files)
