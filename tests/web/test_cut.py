"""Any number of first places, of any set-ups shown, by the published rules and in their words."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from trialpress.analyses import CutRow
from trialpress.analyses.cuts import Entrant, SeriesOrder, cut
from trialpress.view.names import Names, SeriesName, SetupName
from trialpress.view.sentences import cuts
from web.conftest import OpenPage
from web.reading_results import read_results

KEY = ("deep-rug", 2)
DECIMALS = 1
PUBLISHED = 5  # top_n of the demo


@pytest.fixture
def standing(built_site: Path) -> Path:
    return built_site / "standings" / "deep-rug.html"


def published_cut(site: Path, first: int, shown: Sequence[str]) -> tuple[CutRow, ...]:
    """The cut of a subset, from the published tables."""
    protocol, version = KEY[0], str(KEY[1])

    def of_series(table: str) -> list[dict[str, str]]:
        rows = read_results(site, table)
        return [row for row in rows if (row["protocol"], row["version"]) == (protocol, version)]

    entrants = [
        Entrant(row["setup"], float(row["mean"]))
        for row in sorted(of_series("standings"), key=lambda row: int(row["position"]))
        if row["setup"] in shown
    ]
    better = {
        (row["setup"], row["other"])
        for row in of_series("comparisons")
        if row["relation"] == "better"
    }
    return cut(entrants, better, first, SeriesOrder(higher_is_better=True, decimals=DECIMALS))


def names_in(page: Page) -> Names:
    """What the page calls its set-ups; only full names are asked for."""

    def name(text: str) -> SetupName:
        machine, _, label = text.removesuffix(")").partition(" (")
        maker, _, machine = machine.partition(" ")
        return SetupName("", label, "", machine, "", maker)

    cells = page.locator("[data-rows] > tr .name")
    told = cells.evaluate_all("all => all.map(c => [c.parentNode.dataset.setup, c.dataset.value])")
    series = SeriesName(*KEY, page.locator("h1").inner_text(), "%", "higher", is_current=True)
    return Names({setup: name(text) for setup, text in told}, {}, {}, {KEY: series}, 0.95)


def shown(page: Page) -> list[str]:
    rows = page.locator("[data-rows] > tr:visible")
    return [row.get_attribute("data-setup") or "" for row in rows.all()]


@pytest.mark.parametrize(
    "view",
    [
        "",
        "top=12",
        "top=40",
        "top=3&kind=upright",
        "top=2&price_max=300",
        "top=2&maker=oskrel",
    ],
)
def test_the_cut_is_worded_as_the_published_rules_word_it(
    view: str, standing: Path, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(f"{standing.as_uri()}?{view}")
    first = int(page.locator("[data-cut-first]").input_value())
    page.locator("[data-cut-head]", has_text=f"Top {first}").wait_for(state="attached")
    rows, names = published_cut(built_site, first, shown(page)), names_in(page)

    expect(page.locator("[data-cut-top]")).to_have_text(
        cuts.top_cut(rows, first, KEY, DECIMALS, names)
    )
    expect(page.locator("[data-cut-swaps] > li")).to_have_text(cuts.swaps(rows, names))
    verdicts = {"certain": "in", "possible": "may be in", "out": "not in"}
    expect(page.locator("[data-rows] > tr:visible .in-cut")).to_have_text(
        [verdicts[row.top] for row in rows]
    )


def test_the_set_up_of_interest_is_told_of_far_below_the_cut(
    standing: Path, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(f"{standing.as_uri()}?against=nibb-100-stock")
    rows, names = published_cut(built_site, PUBLISHED, shown(page)), names_in(page)
    (own,) = [row for row in rows if row.setup == "nibb-100-stock"]

    expect(page.locator("[data-cut-own]")).to_have_text(
        cuts.in_cut(own, len(rows), KEY, DECIMALS, names)
    )
    assert own.top == "out"
    page.get_by_role("combobox", name="Kind").select_option("upright")  # it is a robot
    expect(page.locator("[data-cut-own]")).to_contain_text("is not among the set-ups shown.")


def test_a_number_moves_the_line_goes_into_the_address_and_back(
    standing: Path, open_page: OpenPage
) -> None:
    page = open_page(standing)
    as_published = page.locator("[data-cut]").inner_text()
    field = page.get_by_label("Cut after")

    field.fill("2")
    field.press("Tab")
    expect(page).to_have_url(f"{standing.as_uri()}?top=2")
    line = page.locator(".last-in-cut")
    expect(line).to_have_attribute("data-setup", shown(page)[1])
    page.go_back()
    expect(line).to_have_attribute("data-setup", shown(page)[PUBLISHED - 1])
    assert page.locator("[data-cut]").inner_text() == as_published


def test_without_scripts_the_published_cut_is_told(standing: Path, open_page: OpenPage) -> None:
    page = open_page(standing, scripts=False)

    expect(page.get_by_label("Cut after")).to_be_hidden()
    expect(page.locator("[data-cut-top]")).to_contain_text(f"Top {PUBLISHED} of ")
