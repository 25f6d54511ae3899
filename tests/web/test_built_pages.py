"""The demo bench's pages in a real browser: every kind of page, as different readers meet it."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page

from web.barriers import ALL_RULES, RULES_OF_LOOK, barriers
from web.conftest import OpenPage
from web.serving import origin

KINDS = (
    "index.html",
    "overall.html",
    "my-floors.html",
    "matrix.html",
    "compare.html",
    "standings/carpet.html",
    "standings/deep-rug-v1.html",
    "machines/index.html",
    "machines/kelbrin-14.html",
    "makers/index.html",
    "makers/taldure.html",
    "maker-pair.html",
    "questions.html",
    "prices.html",
    "prices/deep-rug.html",
    "claims.html",
    "claims/runtime.html",
    "goes-with.html",
    "goes-with/carpet.html",
    "floors/carpet-slate.html",
    "films/hair-on-a-mat.html",
    "methods/index.html",
    "methods/carpet.html",
    "data.html",
    "about.html",
    "corrections.html",
    "search.html",
)
WITH_FILTERS = {"overall.html", "my-floors.html", "matrix.html", "machines/index.html"}
# How many tables and charts stand on each; none on the others.
TABLES = {
    "index.html": 8,
    "overall.html": 2,
    "machines/kelbrin-14.html": 2,
    "makers/taldure.html": 11,
    "claims.html": 2,
    "goes-with/carpet.html": 1,  # those of its groups are folded
    "floors/carpet-slate.html": 3,
    **dict.fromkeys(
        ("my-floors.html", "matrix.html", "standings/carpet.html", "standings/deep-rug-v1.html",
         "machines/index.html", "makers/index.html", "maker-pair.html", "prices.html",
         "prices/deep-rug.html", "claims/runtime.html", "goes-with.html", "data.html"), 1
    ),
}  # fmt: skip
WITH_A_CHART = {
    "overall.html",
    "standings/carpet.html",
    "standings/deep-rug-v1.html",
    "maker-pair.html",
    "prices.html",
    "prices/deep-rug.html",
    "claims/runtime.html",
}
WITH_STRIPS = {"machines/kelbrin-14.html", "makers/taldure.html", "goes-with/carpet.html"}
# Views that a link can open, each with what is there once a script has filled it.
FILLED_BY_SCRIPTS = {
    "compare.html?with=torvek-80-stock,aluen-6-bristle,fenlow-9-stock": ".than-first",
    "standings/deep-rug.html?against=aluen-6-bristle": "[data-measured]:not([hidden])",
    "my-floors.html?weights=stain*1_carpet*0": ".bar",
    "maker-pair.html?with=oskrel,quarndel": "[data-chart-picture] [role=img]:visible",
    "standings/carpet.html?top=3&kind=stick": ".last-in-cut",
}


def turn_narrow_and_dark(page: Page) -> None:
    page.emulate_media(color_scheme="dark")
    page.set_viewport_size({"width": 320, "height": 640})


def open_everything(page: Page) -> None:
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true })")


def test_a_barrier_is_found_in_any_row_that_looks_unlike_the_others(
    small_standing: Path, open_page: OpenPage
) -> None:
    page = open_page(small_standing)
    rules = {"type": "rule", "values": ["color-contrast"]}
    row = page.locator("[data-rows] tr").first
    row.evaluate("row => { for (let i = 0; i < 40; i += 1) row.after(row.cloneNode(true)) }")
    assert barriers(page, rules) == []

    page.locator("[data-rows] tr").last.locator("td").last.evaluate(
        "cell => { cell.style.color = 'rgb(220, 220, 220)' }"
    )

    (found,) = barriers(page, rules)
    assert found.startswith("color-contrast: ")
    assert "color: rgb(220, 220, 220)" in found


def test_a_target_too_small_for_a_thumb_is_found_beside_many_that_are_not(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "about.html")
    rules = {"type": "rule", "values": ["target-size"]}
    page.locator("main").evaluate(
        """main => {
          for (let i = 0; i < 20; i += 1) {
            const link = main.appendChild(document.createElement('a'));
            link.href = '#';
            link.textContent = 'a link';
            Object.assign(link.style, { display: 'block', width: '30px', height: '30px' });
          }
        }"""
    )
    assert barriers(page, rules) == []

    page.locator("main > a").evaluate_all(
        "all => { for (const link of all.slice(-2)) link.style.height = '8px' }"
    )

    (found,) = barriers(page, rules)
    assert "height: 8px" in found


@pytest.mark.parametrize("kind", KINDS)
def test_no_barrier_is_found_wide_and_light_and_none_when_the_page_turns_narrow_and_dark(
    kind: str, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / kind, width=1440)
    open_everything(page)

    assert barriers(page, ALL_RULES) == []

    turn_narrow_and_dark(page)

    assert page.evaluate("document.documentElement.scrollWidth") == 320
    assert barriers(page, RULES_OF_LOOK) == []


def test_a_link_to_a_film_beside_a_name_is_large_enough_for_a_thumb_at_any_width_of_phones(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "standings" / "deep-rug-v1.html", width=360)
    rules = {"type": "rule", "values": ["target-size"]}
    assert page.locator(".name .seen-at").count() > 0

    for width in (360, 390, 412):
        page.set_viewport_size({"width": width, "height": 800})
        assert barriers(page, rules) == []


@pytest.mark.parametrize("view", FILLED_BY_SCRIPTS)
def test_no_barrier_is_found_in_what_scripts_fill(
    view: str, built_site: Path, open_page: OpenPage
) -> None:
    """All rules where it is narrow, as the pages themselves are seen wide by all of them."""
    page = open_page(f"{built_site.as_uri()}/{view}", width=1440)
    page.locator(FILLED_BY_SCRIPTS[view]).first.wait_for()
    open_everything(page)

    assert page.evaluate("document.documentElement.scrollWidth") == 1440
    assert barriers(page, RULES_OF_LOOK) == []

    turn_narrow_and_dark(page)
    page.locator(FILLED_BY_SCRIPTS[view]).first.wait_for()

    assert page.evaluate("document.documentElement.scrollWidth") == 320
    assert barriers(page, ALL_RULES) == []


@pytest.mark.parametrize("kind", KINDS)
def test_without_scripts_headings_tables_pictures_and_links_are_there(
    kind: str, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / kind, scripts=False)

    assert page.locator("h1").is_visible()
    assert page.locator("main a").count() > 0
    filters = page.locator("[data-filters]")
    assert filters.count() == (kind in WITH_FILTERS or kind.startswith("standings/"))
    assert filters.filter(visible=True).count() == 0
    tables = page.locator("main > table, section > table")
    assert tables.count() == tables.filter(visible=True).count() == TABLES.get(kind, 0)
    charts = page.locator(".chart .wide svg")
    assert charts.count() == charts.filter(visible=True).count() == (kind in WITH_A_CHART)
    strips = page.locator(".strips > div > svg")
    assert strips.count() == strips.filter(visible=True).count()
    assert (strips.count() > 0) == (kind in WITH_STRIPS)


def test_a_narrow_standing_is_one_line_that_opens(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "standings" / "carpet.html", width=360, scripts=False)
    row = page.locator("[data-rows] tr").first
    hidden = row.locator(".runs")

    assert not hidden.is_visible()
    assert row.bounding_box()["height"] < 120  # type: ignore[index] # the row is visible
    row.locator("summary").press("Enter")
    assert hidden.is_visible()
    assert "Runs" in hidden.evaluate("cell => getComputedStyle(cell, '::before').content")


def test_a_narrow_standing_is_still_a_table_to_a_screen_reader(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "standings" / "carpet.html", width=360)
    tree = page.context.new_cdp_session(page).send("Accessibility.getFullAXTree")
    roles = Counter(node["role"]["value"] for node in tree["nodes"] if not node["ignored"])

    rows = page.locator("[data-rows] tr").count()
    assert roles["table"] == 1
    assert roles["row"] == rows + 1
    assert roles["rowheader"] == rows


def test_paper_shows_whole_tables_without_what_only_a_screen_needs(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "machines" / "aluen-6.html", width=700, dark=True)
    page.emulate_media(media="print")

    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(26, 33, 41)"
    assert page.locator("table.runs").first.is_visible()
    assert page.locator(".standing .more").first.is_visible()
    assert not page.locator("nav").is_visible()
    assert not page.locator("[role=search]").is_visible()


def test_the_keyboard_skips_to_the_content_and_shows_where_it_is(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "standings" / "carpet.html")
    page.keyboard.press("Tab")
    skip = page.locator(".skip")

    assert skip.evaluate("link => link === document.activeElement")
    assert skip.bounding_box()["x"] >= 0  # type: ignore[index] # it is visible now
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    reached = page.evaluate(
        """() => {
          const { activeElement } = document;
          const { outlineStyle, outlineWidth } = getComputedStyle(activeElement);
          return [activeElement.closest('main') !== null, outlineStyle, outlineWidth];
        }"""
    )
    assert reached == [True, "solid", "3px"]


def test_a_link_to_a_run_opens_what_it_is_folded_in(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "corrections.html")
    link = page.locator("a[href*='#run-']").first
    target = (link.get_attribute("href") or "").partition("#")[2]
    link.click()

    page.locator(f"[id='{target}']").wait_for(state="visible")


@pytest.mark.parametrize(
    "kind", ["standings/carpet.html", "machines/kelbrin-14.html", "my-floors.html", "matrix.html"]
)
def test_twice_as_large_text_leaves_nothing_out(
    kind: str, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / kind, width=640)  # 1280 px at 200 %
    page.evaluate("document.documentElement.style.fontSize = '200%'")

    assert page.evaluate("document.documentElement.scrollWidth") == 640


def test_nothing_moves_by_itself_for_readers_who_ask_for_that(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "standings" / "carpet.html")
    page.emulate_media(reduced_motion="reduce")

    moving = page.evaluate(
        """() => [...document.querySelectorAll('*')].filter((element) => {
          const { animationName, scrollBehavior, transitionDuration } = getComputedStyle(element);
          return animationName !== 'none' || scrollBehavior !== 'auto'
            || transitionDuration !== '0s';
        }).length"""
    )
    assert moving == 0


@pytest.fixture(scope="session")
def address(built_site: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The site under the path that its base_url has, on this machine."""
    root = tmp_path_factory.mktemp("served")
    (root / "trialpress-demo").symlink_to(built_site)
    with origin(root) as top:
        yield top + "trialpress-demo/"


@pytest.mark.parametrize("name", ["standings/deep-rug.html", "machines/aluen-6.html"])
def test_a_first_visit_is_set_in_the_faces_of_the_style_sheet_and_nothing_shifts(
    address: str, open_first_page: OpenPage, name: str
) -> None:
    page = open_first_page(address + name, width=412)
    page.wait_for_load_state("networkidle")
    asked = page.evaluate(
        """performance.getEntriesByType('resource').map((entry) => entry.name)
        .filter((name) => name.endsWith('.woff2') && !name.endsWith('-more.woff2'))"""
    )
    loaded = page.evaluate(
        """document.fonts.ready.then((all) => [...all].filter(({ status }) => status === 'loaded')
        .map(({ family, weight }) => `${family.replaceAll('"', '')} ${weight}`))"""
    )
    shift = page.evaluate(
        """new Promise((done) => {
            let sum = 0;
            new PerformanceObserver((list) => {
                for (const entry of list.getEntries()) sum += entry.value;
            }).observe({ type: 'layout-shift', buffered: true });
            setTimeout(() => done(sum), 500);
        })"""
    )

    assert asked == []
    assert {"Aleo 400", "Aleo 700", "Sometype Mono 400 700"} <= set(loaded)
    assert shift <= 0.02


def test_the_page_for_a_missing_address_works_at_any_depth(
    address: str, open_page: OpenPage
) -> None:
    page = open_page(address + "404.html")

    assert page.evaluate("document.fonts.ready.then(() => document.styleSheets.length)") >= 2
    assert page.locator("main a").first.get_attribute("href") == "/trialpress-demo/search.html"
    assert barriers(page, ALL_RULES) == []


def test_a_page_asks_only_its_own_site(address: str, open_page: OpenPage) -> None:
    page = open_page(address + "standings/carpet.html")
    page.locator("[data-search] input").focus()
    page.locator(".chart").hover()
    page.wait_for_load_state("networkidle")
    asked = json.loads(
        page.evaluate("JSON.stringify(performance.getEntries().map((entry) => entry.name))")
    )

    assert [name for name in asked if "://" in name and not name.startswith(address)] == []
