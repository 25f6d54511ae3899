"""Charts in a browser: still at first, live on demand, in step with the page."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from trialpress.charts import read_theme
from web.conftest import OpenPage


def runtime_is_loaded(page: Page) -> bool:
    return bool(page.evaluate("'vegaRuntime' in window"))


def test_a_page_opens_with_still_pictures_and_without_the_runtime(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)

    page.wait_for_function("() => window.trialpress.charts")
    assert not runtime_is_loaded(page)
    expect(page.get_by_role("img", name="Dust from carpet: values and places")).to_have_count(1)


def test_reaching_for_a_filter_loads_what_the_first_one_needs(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)

    page.get_by_label("Kind").focus()

    page.wait_for_function("() => 'vegaRuntime' in window")
    assert "kind" not in page.url  # nothing is filtered yet
    expect(page.locator("[data-rows] > tr:visible").first).to_be_visible()


def test_without_scripts_the_picture_is_there_all_the_same(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing, scripts=False)

    expect(page.get_by_role("img", name="Dust from carpet: values and places")).to_be_visible()
    expect(page.get_by_text("Kelding Two (as unboxed)").first).to_be_visible()


def test_pointing_at_a_row_of_the_chart_marks_it_there_and_in_the_table(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)
    name = page.locator(".wide text", has_text="Kelding Two")

    name.hover()
    page.wait_for_function("() => 'vegaRuntime' in window")
    page.wait_for_selector(".wide[data-chart-picture] > div svg")
    page.mouse.move(0, 0)
    name.hover()

    expect(page.locator(".chart-reading")).to_contain_text("Kelding Two (as unboxed): 93.1")
    expect(page.locator("tr[data-chosen]")).to_have_attribute("data-setup", "two-stock")
    expect(name).to_have_attribute("fill", read_theme().light.accent)


def live_dot(page: Page, setup: str) -> tuple[float, float]:
    """Bring the wide chart to life, and tell where the dot of a set-up is."""
    page.locator("figure").hover()
    page.wait_for_selector(".wide[data-chart-picture] > div svg")
    at = page.evaluate(
        """(setup) => {
          const nodes = [...document.querySelectorAll('.wide svg path[transform]')];
          const dot = nodes.find((node) => node.__data__?.datum?.setup === setup);
          const { left, right, top, bottom } = dot.getBoundingClientRect();
          return [(left + right) / 2, (top + bottom) / 2];
        }""",
        setup,
    )
    return at[0], at[1]


def test_the_mark_nearest_to_the_pointer_tells_beside_itself_and_opens_its_machine(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)
    x, y = live_dot(page, "two-stock")

    page.mouse.move(x, y + 8)

    reading = page.locator(".chart-reading")
    expect(reading).to_contain_text("Kelding Two (as unboxed): 93.1")
    box = reading.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= y
    assert y - box["y"] - box["height"] < 40
    page.mouse.click(x, y + 8)
    page.wait_for_url("**/machines/kelding-two.html")


def test_under_a_thumb_the_first_tap_tells_and_the_second_opens(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)
    x, y = live_dot(page, "two-stock")
    tap = """([x, y]) => document.elementFromPoint(x, y).dispatchEvent(new PointerEvent('click',
      { clientX: x, clientY: y, pointerType: 'touch', bubbles: true }))"""

    page.evaluate(tap, [x, y + 8])

    expect(page.locator(".chart-reading")).to_contain_text("93.1")
    expect(page.locator(".chart-reading")).to_contain_text("Tap again to open it.")
    page.evaluate(tap, [x, y + 8])
    page.wait_for_url("**/machines/kelding-two.html")


def test_arrow_keys_go_from_mark_to_mark_and_enter_opens(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)
    picture = page.get_by_role("group", name="Dust from carpet: values and places: arrow keys")

    picture.first.focus()
    reading = page.locator(".chart-reading")
    page.keyboard.press("ArrowDown")
    expect(reading).to_contain_text("Ostrel One (as unboxed)")
    page.keyboard.press("ArrowDown")
    expect(reading).to_contain_text("Kelding Two (as unboxed)")
    expect(reading).to_have_attribute("aria-hidden", "false")
    page.keyboard.press("Enter")

    page.wait_for_url("**/machines/kelding-two.html")


def test_moving_the_focus_through_the_table_marks_the_row_in_a_live_chart(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)
    page.get_by_label("complete").check()
    page.get_by_label("complete").uncheck()

    page.get_by_role("link", name="ostrel-one slow").focus()

    name = page.locator(".wide text", has_text="Ostrel One (slow)")
    expect(name).to_have_attribute("fill", read_theme().light.accent)


def test_a_live_chart_keeps_its_name_and_description(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing)
    page.get_by_label("complete").check()
    page.wait_for_selector(".wide[data-chart-picture] > div svg")

    picture = page.get_by_role("img", name="Dust from carpet: values and places")

    expect(picture).to_have_count(1)
    expect(page.locator(".wide[data-chart-picture] > div > svg")).to_have_attribute(
        "aria-hidden", "true"
    )
    expect(picture).to_have_accessible_description(re.compile("^3 set-ups, first Ostrel One"))


def test_the_narrow_picture_is_shown_on_a_phone_and_nothing_reaches_over_its_edge(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing, width=320, height=640)

    expect(page.locator(".narrow svg")).to_be_visible()
    expect(page.locator(".wide svg")).to_be_hidden()
    assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_turning_a_phone_brings_the_other_layout_in_step(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing, width=320, height=800)
    page.get_by_label("complete").check()
    expect(page.locator(".narrow text", has_text="Kelding Two")).to_have_count(0)

    page.set_viewport_size({"width": 800, "height": 320})

    expect(page.locator(".wide text", has_text="Ostrel One (as unboxed)")).to_be_visible()
    expect(page.locator(".wide text", has_text="Kelding Two")).to_have_count(0)


@pytest.mark.parametrize("live", [False, True], ids=["still", "live"])
def test_charts_follow_the_page_into_the_dark(
    open_page: OpenPage, small_standing: Path, *, live: bool
) -> None:
    page = open_page(small_standing, dark=True)
    if live:
        page.get_by_label("Kind").select_option("stick")
        page.wait_for_selector(".wide[data-chart-picture] > div svg")

    name = page.locator(".wide text", has_text="Kelding Two")

    expect(name).to_have_css("fill", rgb(read_theme().dark.ink))


def test_what_the_page_says_of_light_and_dark_overrules_the_system(
    open_page: OpenPage, small_standing: Path
) -> None:
    page = open_page(small_standing, dark=True)

    page.evaluate("document.documentElement.dataset.theme = 'light'")

    name = page.locator(".wide text", has_text="Kelding Two")
    expect(name).to_have_css("fill", rgb(read_theme().light.ink))


def rgb(colour: str) -> str:
    return "rgb({}, {}, {})".format(*bytes.fromhex(colour.removeprefix("#")))
