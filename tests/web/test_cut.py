"""Any number of first places, of any set-ups shown, by the published rules and in their words."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path

import duckdb
import numpy as np
import pytest
from playwright.sync_api import Page, expect

from trialpress.analyses import CutRow
from trialpress.analyses.cuts import Entrant, SeriesOrder, cut
from trialpress.results.places import place_range, places_of, top_of
from trialpress.view.names import Names, SeriesName, SetupName
from trialpress.view.sentences import cuts
from web.conftest import OpenPage, attributes
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
    return attributes(page.locator("[data-rows] > tr:visible"), "data-setup")


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


STANDINGS_OF = """async ([names, subsets]) => {
  const { data, shown } = window.trialpress;
  const told = await data(names);
  const meanOf = (row) => Number(row.querySelector('.value').dataset.value);
  const rows = new Map([...document.querySelectorAll('[data-rows] > tr')].map((row) => [
    row.dataset.setup, Math.round(meanOf(row) * 10 ** told.decimals)]));
  const entries = told.setups.map((setup, index) => ({ setup, index, mean: rows.get(setup) }));
  return subsets.map((subset) => shown.standing(
    entries.filter(({ setup }) => subset.includes(setup)), shown.verdictsOf(told), 5, true,
  ).entries.map(({ setup, place, best, worst, top }) => [setup, place, best, worst, top]));
}"""


def better_in_series(site: Path) -> set[tuple[str, str]]:
    return {
        (row["setup"], row["other"])
        for row in read_results(site, "comparisons")
        if (row["protocol"], row["version"], row["relation"]) == ("deep-rug", "2", "better")
    }


def better_overall(site: Path) -> set[tuple[str, str]]:
    store = str(site.parent / "store.duckdb")
    with duckdb.connect(store, read_only=True) as connection:
        return set(connection.execute("select setup, other from overall_better").fetchall())


@pytest.mark.parametrize(
    ("name", "verdicts", "better_of"),
    [
        ("standings/deep-rug", "verdicts/deep-rug", better_in_series),
        ("overall", "verdicts/overall", better_overall),
    ],
)
def test_a_standing_of_any_set_ups_is_what_the_rules_of_results_make_of_them(
    name: str,
    verdicts: str,
    better_of: Callable[[Path], set[tuple[str, str]]],
    built_site: Path,
    open_page: OpenPage,
) -> None:
    page = open_page(built_site / f"{name}.html")
    page.wait_for_function("window.trialpress?.shown !== undefined")
    all_setups, chance = shown(page), np.random.default_rng(16)
    sizes = chance.integers(1, len(all_setups), 40, endpoint=True)
    subsets = [all_setups, *(chance.permutation(all_setups)[:size].tolist() for size in sizes)]

    made = page.evaluate(STANDINGS_OF, [verdicts, subsets])

    cells = page.locator("[data-rows] > tr .value")
    means = cells.evaluate_all("all => all.map((cell) => Number(cell.dataset.value))")
    mean, better = dict(zip(all_setups, means, strict=True)), better_of(built_site)
    for subset, entries in zip(subsets, made, strict=True):
        ordered = [setup for setup in all_setups if setup in subset]
        places = places_of(np.array([mean[one] for one in ordered]), higher_is_better=True)
        is_better = np.array([[(a, b) in better for b in ordered] for a in ordered])
        best, worst = place_range(is_better)
        assert entries == [
            [setup, place, first, last, top_of(first, last, PUBLISHED).value]
            for setup, place, first, last in zip(
                ordered, places.tolist(), best.tolist(), worst.tolist(), strict=True
            )
        ]


@pytest.mark.parametrize("name", ["standings/deep-rug", "overall"])
def test_a_filtered_standing_has_its_own_places_and_taking_the_filter_off_restores_the_published(
    name: str, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / f"{name}.html")
    table = page.locator("[data-rows]")
    as_published = table.evaluate("body => body.textContent + body.querySelector('svg').innerHTML")
    page.get_by_role("combobox", name="Kind").select_option("robot")

    expect(page.locator("[data-filtered]")).to_contain_text("is not one of them")
    first = page.locator("[data-rows] > tr:visible").first
    expect(first.locator(".place")).to_have_text(re.compile(r"^1\d+ in all$"))
    expect(page.locator("[data-lead]")).to_contain_text(
        f"{first.locator('.name').get_attribute('data-value')} comes first by mean."
    )
    page.get_by_role("button", name="Take the filter off").click()

    expect(page.locator("[data-filtered]")).to_be_hidden()
    again = table.evaluate("body => body.textContent + body.querySelector('svg').innerHTML")
    assert again == as_published
