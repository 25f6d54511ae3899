"""The pages on the bench itself in a real browser: bench watch, figures, news, working-out."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest

from web.barriers import ALL_RULES, RULES_OF_LOOK, barriers
from web.conftest import OpenPage
from web.test_built_pages import open_everything, turn_narrow_and_dark

KINDS = ("watch.html", "figures.html", "news.html", "worked/kelbrin-14.html")


@pytest.mark.parametrize("kind", KINDS)
def test_no_barrier_is_found_and_nothing_overflows(
    kind: str, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / kind, width=1440)
    open_everything(page)

    assert page.evaluate("document.documentElement.scrollWidth") == 1440
    assert barriers(page, ALL_RULES) == []

    turn_narrow_and_dark(page)

    assert page.evaluate("document.documentElement.scrollWidth") == 320
    assert barriers(page, RULES_OF_LOOK) == []


def test_a_control_chart_shows_its_days_without_scripts(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "watch.html", scripts=False)
    chart = page.locator("[data-chart^=watch-carpet]")

    assert chart.locator(".wide svg[role=img]").is_visible()
    section = page.locator("section", has=chart)
    section.locator(".runs-of summary").click()
    day = section.locator("tbody tr").first
    assert day.is_visible()
    day.locator("a").first.click()
    assert page.locator("tr:target").count() == 1


def test_a_control_chart_tells_of_the_day_that_is_pointed_at(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "watch.html", height=1400)
    chart = page.locator("[data-chart^=watch-carpet]")
    chart.scroll_into_view_if_needed()
    chart.hover()
    live = chart.locator(".wide [role=img] svg")
    live.wait_for()
    live.locator("path[transform]").nth(8).hover(force=True)

    page.wait_for_function(
        "() => document.querySelector('.chart-reading').textContent.includes('mean of 2 runs')"
    )


def test_a_figure_is_followed_from_its_page_to_the_row_it_was_typed_in(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "machines" / "kelbrin-14.html", scripts=False)
    page.get_by_role("link", name="How was this worked out?").click()
    assert page.locator("h1").inner_text().endswith("worked out")
    assert "degrees of freedom" in page.locator(".steps").first.inner_text()

    page.locator("table.worked tbody a").first.click()

    row = page.locator("tr:target")
    assert "data/days/" in row.inner_text()


def test_the_working_out_of_a_machine_stays_small(built_site: Path) -> None:
    """60 kB compressed at most, as for every first view."""
    sizes = [len(gzip.compress(f.read_bytes(), 9)) for f in (built_site / "worked").glob("*.html")]

    assert max(sizes) < 60_000
