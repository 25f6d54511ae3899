"""What a reader sets once or takes along: the look, paper, a table as a file, the archive."""

from __future__ import annotations

import csv
from pathlib import Path

from playwright.sync_api import expect

from web.conftest import OpenPage

PAPER = "getComputedStyle(document.body).backgroundColor"


def test_the_look_that_was_chosen_is_there_before_the_next_page_is_drawn(
    built_site: Path, open_first_page: OpenPage
) -> None:
    page = open_first_page(built_site / "about.html")
    light = page.evaluate(PAPER)

    page.get_by_label("Look").select_option("dark")
    dark = page.evaluate(PAPER)
    page.goto((built_site / "figures.html").as_uri(), wait_until="commit")
    page.wait_for_selector("head link[rel=stylesheet]", state="attached")

    assert dark != light
    assert page.evaluate("document.documentElement.dataset.theme") == "dark"
    page.get_by_label("Look").select_option("")
    assert page.evaluate(PAPER) == light
    assert page.evaluate("localStorage.length") == 0


def test_paper_carries_no_control_but_the_weights_that_were_set(
    built_site: Path, open_page: OpenPage
) -> None:
    for name in ("standings/carpet.html", "my-floors.html", "machines/index.html"):
        page = open_page(built_site / name)
        page.emulate_media(media="print")

        controls = page.locator("button, select, input, textarea, summary")
        shown = controls.filter(visible=True)

        assert controls.count()
        allowed = "th[data-sort] button, .weight [type=number], .notice summary"
        assert shown.evaluate_all(
            "(all, allowed) => all.every((one) => one.matches(allowed))", allowed
        )


def test_the_list_of_machines_is_filtered_and_taken_along_as_it_is_seen(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(
        f"{(built_site / 'machines' / 'index.html').as_uri()}?kind=robot&price_max=500"
    )
    rows = page.locator("[data-rows] > tr:visible")
    with page.expect_download() as taken:
        page.get_by_role("button", name="This table as CSV").click()

    lines = list(csv.reader(taken.value.path().read_text("utf-8").splitlines()))

    assert taken.value.suggested_filename == "index.csv"
    assert 1 < len(lines) == rows.count() + 1 < page.locator("[data-rows] > tr").count()
    assert {line[lines[0].index("Kind")] for line in lines[1:]} == {"robot"}
    assert all(float(line[lines[0].index("Price")]) <= 500 for line in lines[1:])


def test_the_archive_is_saved_under_the_name_of_the_bench_and_the_day(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "data.html")

    link = page.locator(".archive a")

    expect(link).to_have_attribute("download", "quillmere-bench-2026-11-01.zip")
