"""What readers come to do, each from the first page to its end, as one test.

What a task needs no script for is done once more without any.
"""

from __future__ import annotations

import csv
import io
import re
import zipfile
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, expect

from web.conftest import OpenPage

ROWS = "[data-rows] > tr:visible"
with_and_without_scripts = pytest.mark.parametrize(
    "scripts", [True, False], ids=["with scripts", "without scripts"]
)

at_both_widths = pytest.mark.parametrize(("width", "height"), [(1440, 900), (390, 844)])


def follow(page: Page, *words: str) -> None:
    """Press links one after the other, by what they say, and wait for the page each leads to."""
    for link in words:
        with page.expect_navigation():
            page.get_by_role("link", name=link, exact=True).first.click()


@with_and_without_scripts
def test_a_reader_finds_a_machine_by_its_name(
    built_site: Path, open_page: OpenPage, *, scripts: bool
) -> None:
    page = open_page(built_site / "index.html", scripts=scripts)

    page.get_by_label("Find a machine").fill("hofta 520")
    page.keyboard.press("Enter")
    if not scripts:  # the search page lists everything there is
        page.get_by_role("link", name="Brumvald Hofta 520").click()

    page.wait_for_url("**/machines/hofta-520.html")
    assert page.locator("h1").inner_text() == "Hofta 520"


def test_a_reader_filters_a_standing_and_its_chart(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "index.html")
    follow(page, "Dust on loop carpet")

    page.get_by_label("Kind").select_option("robot")
    page.get_by_label("Highest price").fill("500")
    page.keyboard.press("Tab")

    shown = page.locator(ROWS)
    keys = shown.evaluate_all("rows => rows.map(({ dataset }) => [dataset.kind, dataset.price])")
    assert keys
    assert all(kind == "robot" and float(price) <= 500 for kind, price in keys)
    expect(page.locator("[data-filter-count]")).to_contain_text(f"{len(keys)} of ")
    expect(page.locator(".wide [role=img]")).to_be_visible()
    page.get_by_role("button", name="Show all").click()
    assert shown.count() > len(keys)


def test_without_scripts_a_reader_has_the_whole_standing_and_its_chart(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "index.html", scripts=False)
    follow(page, "Dust on loop carpet")

    assert page.locator(ROWS).count() == page.locator("[data-rows] > tr").count() > 10
    assert not page.locator("[data-filters]").is_visible()
    expect(page.locator(".wide > svg")).to_be_visible()


def test_a_reader_weighs_their_own_floors_by_keyboard(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "index.html")
    follow(page, "Weigh your own floors")
    first = page.locator("[data-complete-rows] tr").first
    at_own_weights = first.inner_text()

    page.get_by_label("Weight of Long hair on a door mat", exact=True).focus()
    page.keyboard.press("End")

    expect(page.get_by_role("heading", name="Standing at your weights")).to_be_visible()
    assert first.inner_text() != at_own_weights
    expect(page.locator("[data-first]")).to_contain_text("is first by value")
    expect(page.locator("[data-holds]").first).to_contain_text("stays first")
    again = open_page(page.url)
    assert again.locator("[data-complete-rows] tr").first.inner_text() == first.inner_text()


def test_a_reader_compares_two_set_ups_side_by_side(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "index.html")
    follow(page, "Dust on loop carpet")
    row = page.locator(ROWS).nth(20)
    page.locator(ROWS).first.get_by_role("radio").check()
    verdict = row.locator(".compared .verdict").inner_text()

    row.locator(".beside").click()

    line = page.locator("tr", has=page.get_by_role("link", name="Dust on loop carpet", exact=True))
    expect(page.locator("[data-compare-table] thead th a")).to_have_count(2)
    expect(line.locator(".than-first")).to_contain_text(verdict)


def test_two_machines_stand_side_by_side_on_a_phone_with_no_sideways_scrolling(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "index.html", width=390, height=844)
    follow(page, "Set-ups side by side")
    page.get_by_label("Add a set-up").select_option("torvek-80-stock")
    page.get_by_label("Add a set-up").select_option("aluen-6-bristle")

    table = page.locator("[data-compare-table] table")
    expect(table.locator("thead th")).to_have_count(2)
    expect(table.locator("tbody tr").first).to_contain_text("Price")
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    for row in table.locator("tr", has=page.locator(".value")).all():
        boxes = [cell.bounding_box() for cell in row.locator("td").all()]
        left, right = [box for box in boxes if box]
        assert left["y"] == right["y"]
        assert left["x"] + left["width"] <= right["x"] < right["x"] + right["width"] <= 390
    table.locator("tbody tr").last.scroll_into_view_if_needed()
    expect(table.get_by_role("link", name="Drovanne Torvek 80")).to_be_in_viewport()


def test_a_reader_shares_exactly_the_view_they_have(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "standings" / "carpet.html")
    page.get_by_label("Kind").select_option("stick")
    page.get_by_role("button", name="Mean").click()
    page.locator(ROWS).nth(2).get_by_role("radio").check()
    expect(page.locator("[data-measured-name]")).not_to_be_empty()

    other = open_page(page.url)

    expect(other.locator("[data-measured-name]")).not_to_be_empty()
    assert other.locator(ROWS).all_inner_texts() == page.locator(ROWS).all_inner_texts()


@with_and_without_scripts
def test_a_reader_takes_a_chart_to_another_page(
    built_site: Path, open_page: OpenPage, *, scripts: bool
) -> None:
    page = open_page(built_site / "machines" / "aluen-6.html", scripts=scripts)
    page.get_by_text("Show this chart on another site").click()

    frame = _Frame()
    frame.feed(page.get_by_label("HTML that shows the chart").input_value())

    assert "allow-scripts" not in frame.attributes["sandbox"]
    name = urlsplit(frame.attributes["src"]).path.rpartition("/")[2]
    alone = open_page(built_site / "embed" / name, scripts=scripts)
    expect(alone.get_by_role("img").first).to_be_visible()
    alone.get_by_text("The numbers").click()
    expect(alone.get_by_role("table")).to_be_visible()
    expect(alone.get_by_role("link", name="Quillmere bench")).to_be_visible()


class _Frame(HTMLParser):
    """The attributes of the one frame that is fed in."""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag == "iframe"
        self.attributes = {name: value or "" for name, value in attrs}


@with_and_without_scripts
def test_a_reader_downloads_everything_in_one_file(
    built_site: Path, open_page: OpenPage, *, scripts: bool
) -> None:
    page = open_page(built_site / "index.html", scripts=scripts)
    follow(page, "Data")
    rows = open_page(built_site / "standings" / "carpet.html").locator("[data-rows] > tr").count()

    address = page.get_by_role("link", name=re.compile(r"\.zip$")).get_attribute("href") or ""

    with zipfile.ZipFile(built_site / address) as archive:
        (name,) = [one for one in archive.namelist() if one.endswith("results/standings.csv")]
        table = list(csv.DictReader(io.StringIO(archive.read(name).decode("utf-8"))))
    assert sum(row["protocol"] == "carpet" for row in table) == rows


@with_and_without_scripts
def test_a_reader_reads_how_a_run_is_made_and_how_a_place_came_about(
    built_site: Path, open_page: OpenPage, *, scripts: bool
) -> None:
    page = open_page(built_site / "index.html", scripts=scripts)
    follow(page, "Dust on loop carpet", "How a run is made")
    expect(page.get_by_role("heading", name="Before you repeat it")).to_be_visible()
    expect(page.get_by_role("heading", name="Steps")).to_be_visible()

    page.go_back()
    page.locator(ROWS).first.locator(".name a").click()
    follow(page, "How was this worked out?")
    page.locator("table.worked tbody a").first.click()

    typed = re.search(r"data/days/\S+\.csv, row \d+", page.locator("tr:target").inner_text())
    assert typed
    file, _, row = typed[0].partition(", row ")
    lines = (Path(__file__).parents[2] / file).read_text(encoding="utf-8").splitlines()
    run = page.url.partition("#run-")[2]
    assert lines[int(row) - 1].startswith(f"{run},")


@at_both_widths
def test_a_thick_rug_and_a_price_lead_to_the_first_few_in_one_step_and_the_view_can_be_shared(
    width: int, height: int, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "index.html", width=width, height=height)
    page.locator("[data-way-in] [name=floor]").select_option(
        "thick rug, 18 mm pile: Dust deep in a rug"
    )
    page.locator("[data-way-in] [name=kind]").select_option("robot")
    page.get_by_label("Price up to").fill("400")
    page.get_by_role("button", name="Show the first few").click()

    expect(page.locator("[data-lead]")).to_contain_text("robot, up to EUR\u00a0400")
    places = page.locator(f"{ROWS} .place")
    expect(places.first).to_have_text(re.compile(r"^1\d+ in all$"))
    third = page.locator(ROWS).nth(2).bounding_box()
    assert third is not None
    assert third["y"] + third["height"] <= height
    assert page.evaluate("document.documentElement.scrollWidth") == width
    prices = page.locator(f"{ROWS} .price").evaluate_all("all => all.map(c => c.dataset.value)")
    assert all(float(price) <= 400 for price in prices)

    fresh = open_page(page.url, width=width, height=height)
    expect(fresh.locator("[data-lead]")).to_have_text(page.locator("[data-lead]").inner_text())
    assert fresh.locator(ROWS).all_inner_texts() == page.locator(ROWS).all_inner_texts()


@at_both_widths
def test_robots_stand_beside_each_other_on_two_floors_and_no_other(
    width: int, height: int, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "index.html", width=width, height=height)
    follow(page, "All set-ups on all protocols")
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true })")
    page.get_by_label("Kind").select_option("robot")
    for floor in ("Moss rug", "Ribbed door mat"):
        page.get_by_label(floor).check()

    rows = page.locator(ROWS)
    kinds = rows.evaluate_all("all => [...new Set(all.map((row) => row.dataset.kind))]")
    assert kinds == ["robot"]
    for title in ("Dust deep in a rug", "Long hair on a door mat"):
        expect(rows.first.locator(f"[data-label='{title}']")).to_be_visible()
    expect(rows.first.locator("[data-label='Crumbs on tiles']")).to_be_hidden()
    assert page.evaluate("document.documentElement.scrollWidth") == width


@at_both_widths
def test_a_search_finds_what_is_meant_and_several_matches_make_a_list(
    width: int, height: int, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "index.html", width=width, height=height)
    find = page.get_by_label("Find a machine")

    for typed, leads_to in (
        ("velok 700", "machines/velloq-700.html"),  # two letters wrong
        ("hofta520", "machines/hofta-520.html"),  # words run together
        ("pet hair", "search.html?q=pet+hair"),  # a reader's word, of several pages
    ):
        find.fill(typed)
        page.keyboard.press("Enter")
        page.wait_for_url(f"**/{leads_to}")

    page.locator("[data-search-results] a").first.click()
    page.wait_for_url("**/standings/hair.html")


@at_both_widths
def test_a_place_leads_to_the_second_of_a_film_and_the_film_to_what_was_corrected_since(
    width: int, height: int, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "index.html", width=width, height=height)
    follow(page, "Long hair on a door mat")
    row = page.locator(ROWS, has_text="film, 3:40")

    second = row.get_by_role("link", name="film, 3:40")
    expect(second).to_have_attribute("href", "https://films.example/hair-on-a-mat#t=220")
    row.get_by_role("link", name="Oskrel Vasp 50", exact=True).click()
    follow(page, "Long hair on a door mat: which roller clogs?")

    line = page.locator("li:target")
    expect(line).to_contain_text("The Vasp 50, third run")
    expect(line).to_contain_text("This run now: 94.0\u00a0%")
    corrected = page.locator("section", has=page.get_by_role("heading", name="What was corrected"))
    expect(corrected).to_contain_text("was 97 and is 94")
    assert "Undrey" not in page.content()  # one that waits for its day
