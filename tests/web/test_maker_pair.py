"""Two makers side by side: any pair is drawn and told in the page."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

from playwright.sync_api import expect

from web.conftest import OpenPage
from web.reading_results import read_results


def shared_series(site: Path, *makers: str) -> int:
    tried: dict[str, set[tuple[str, str]]] = {maker: set() for maker in makers}
    for row in read_results(site, "maker_overview"):
        tried.get(row["maker"], set()).add((row["protocol"], row["version"]))
    return len(set.intersection(*tried.values()))


def test_a_chosen_pair_is_drawn_named_and_told_and_a_step_back_undoes_it(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "maker-pair.html")
    table = page.locator("[data-maker-pair-rows]")
    published = table.inner_text()
    page.get_by_label("Another").select_option("quarndel")
    page.get_by_label("One maker").select_option("oskrel")

    series = shared_series(built_site, "oskrel", "quarndel")
    picture = page.locator("[data-chart-picture=wide] [role=img]")
    expect(picture).to_have_accessible_name("Oskrel and Quarndel")
    expect(picture.locator("text", has_text="Oskrel").first).to_be_visible()
    expect(picture.locator("text", has_text="Quarndel").first).to_be_visible()
    expect(table.locator("> tr")).to_have_count(2 * series)
    expect(page).to_have_url(re.compile(r"\?with=oskrel,quarndel$"))
    page.go_back()
    page.go_back()
    expect(page).to_have_url(re.compile(r"maker-pair\.html$"))
    expect(table.locator(".whose", has_text="Quarndel")).to_have_count(0)
    assert table.inner_text() == published


def test_who_is_chosen_on_both_sides_changes_sides(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(f"{(built_site / 'maker-pair.html').as_uri()}?with=oskrel,quarndel")

    page.get_by_label("One maker").select_option("quarndel")

    expect(page.get_by_label("Another")).to_have_value("oskrel")
    expect(page.locator("[data-chart-picture=wide] [role=img]")).to_have_accessible_name(
        "Quarndel and Oskrel"
    )


def test_without_scripts_one_pair_is_there(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "maker-pair.html", scripts=False)

    expect(page.locator("[data-maker-pair]")).to_be_hidden()
    expect(page.locator("[data-chart-picture=wide] svg")).to_be_visible()
    expect(page.locator("[data-maker-pair-rows] > tr").first).to_be_visible()


def test_any_two_makers_have_a_verdict_in_each_series_that_counts_the_pairs_of_the_standing(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(f"{(built_site / 'maker-pair.html').as_uri()}?with=oskrel,quarndel")
    row = page.locator("[data-maker-pair-rows] > tr", has_text="Long hair on a door mat").first
    expect(row.locator(".whose")).to_have_text("Oskrel")

    owner = {one["setup"]: one["maker"] for one in read_results(built_site, "standings")}
    counts = Counter(
        one["relation"]
        for one in read_results(built_site, "comparisons")
        if (one["protocol"], owner[one["setup"]], owner[one["other"]])
        == ("hair", "oskrel", "quarndel")
    )

    assert counts.total() > 3
    expect(row.locator(".than")).to_have_text(
        f"{counts['better']} better, {counts['worse']} worse, {counts['level']} level, "
        f"{counts['cannot tell']} not told apart"
    )
