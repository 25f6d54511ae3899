"""The overall with a reader's own weights, against the formula that the bench works with."""

from __future__ import annotations

import random
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from scipy import special, stats

from trialpress.results.overall import Part, overall_mean
from web.conftest import OpenPage, attributes
from web.reading_results import read_results

CONFIDENCE = 0.95  # the demo's bench.toml
SEED = 20_310_302


@pytest.fixture
def my_floors(built_site: Path, open_page: OpenPage) -> Page:
    return open_page(built_site / "my-floors.html")


@pytest.fixture(scope="module")
def untouched(built_site: Path, open_for_all: OpenPage) -> Page:
    """The page as it opens; tests only read it."""
    return open_for_all(built_site / "my-floors.html")


def weight(page: Page, title: str) -> Any:  # noqa: ANN401  Playwright's Locator
    return page.get_by_label(f"Weight of {title}, as a number")


def ranked(page: Page) -> list[tuple[str, str, str, str]]:
    """Set-up, place, value and interval of every row with a place."""
    found: list[tuple[str, str, str, str]] = page.evaluate(
        """() => [...document.querySelectorAll('[data-complete-rows] > tr')].map((row) => [
          row.dataset.setup, ...['.place', '.value', '.interval'].map(
            (part) => row.querySelector(part).textContent)])"""
    )
    return [(setup, place, value, interval) for setup, place, value, interval in found]


def test_the_t_quantile_is_that_of_an_independent_library(untouched: Page) -> None:
    asked = [
        (df, confidence)
        for df in (0.7, 1.0, 2.3, 5.0, 17.25, 131.2, 1999.0, 2001.0, 1e6)
        for confidence in (0.5, 0.9, 0.95, 0.999)
    ]
    normals = [float(special.ndtri((1 + confidence) / 2)) for _, confidence in asked]

    found = untouched.evaluate(
        "([asked, normals]) => asked.map(([df, confidence], i) =>"
        " trialpress.overall.tQuantile(df, confidence, normals[i]))",
        [asked, normals],
    )

    expected = [float(stats.t.ppf((1 + confidence) / 2, df)) for df, confidence in asked]
    assert found == pytest.approx(expected, rel=1e-9)


def test_random_weights_give_the_figures_of_the_bench_s_own_formula(
    untouched: Page, built_site: Path
) -> None:
    parts = [row for row in read_results(built_site, "overall_parts") if row["in_ratio"] == "true"]
    protocols = sorted({row["protocol"] for row in parts})
    of_setup = {row["setup"]: {} for row in parts}  # type: dict[str, dict[str, dict[str, str]]]
    for row in parts:
        of_setup[row["setup"]][row["protocol"]] = row
    # Repeatable draws, no secrets.
    draw = random.Random(SEED)  # noqa: S311
    compared = 0
    for _ in range(12):
        weights = {one: draw.choice([0.0, round(draw.uniform(0.01, 5), 3)]) for one in protocols}
        found = figures(untouched, weights)
        expected = {}
        for setup, own in of_setup.items():
            counted = [one for one in protocols if weights[one] > 0]
            if not counted or any(one not in own for one in counted):
                continue
            mean = overall_mean(
                [
                    Part(
                        weights[one],
                        float(own[one]["mean"]),
                        float(own[one]["standard_error"]),
                        float(own[one]["df"]),
                    )
                    for one in counted
                ]
            )
            low, high = mean.interval(CONFIDENCE) if mean.value > 0 else (None, None)
            expected[setup] = (mean.value, low, high)
        assert set(found) == set(expected)
        compared += len(expected)
        for setup, figure in expected.items():
            assert found[setup] == pytest.approx(figure, rel=1e-9), (setup, weights)
    assert compared > 12


def figures(page: Page, weights: dict[str, float]) -> dict[str, tuple[float, ...]]:
    """What the page works out at these weights, unrounded."""
    found: dict[str, tuple[float, ...]] = page.evaluate(
        """(weights) => {
          const rules = JSON.parse(document.querySelector('[data-figures]').textContent);
          const own = rules.protocols.map(({ slug }) => weights[slug]);
          return Object.fromEntries(trialpress.overall.standing(rules, own).complete.map(
            ({ setup, value, low, high }) => [rules.setups[setup].slug, [value, low, high]]));
        }""",
        weights,
    )
    return {setup: tuple(figure) for setup, figure in found.items()}


def test_at_the_bench_s_own_weights_the_page_shows_the_published_overall(
    untouched: Page, built_site: Path
) -> None:
    published = [
        (
            row["setup"],
            row["place"],
            f"{float(row['value']):.2f}",
            f"{float(row['low']):.2f} to {float(row['high']):.2f}",
        )
        for row in read_results(built_site, "overall")
        if row["ranks"] == row["complete"] == "true" and row["scope"] == "bench"
    ]
    untouched.locator("[data-complete-rows] .bar").first.wait_for()

    assert ranked(untouched) == published


def test_a_mean_of_zero_makes_the_overall_zero_and_a_weight_of_zero_takes_it_out_again(
    untouched: Page,
) -> None:
    rules = {"confidence": 0.95, "normal": 1.96, "parts": [[[50, 1, 9], [0, 1, 9]]]}
    find = "([rules, weights]) => trialpress.overall.standing(rules, weights).complete[0]"

    counted = untouched.evaluate(find, [rules, [1, 1]])
    left_out = untouched.evaluate(find, [rules, [1, 0]])

    assert (counted["value"], counted["low"]) == (0, None)
    assert left_out["value"] == pytest.approx(50)


def test_a_mean_near_0_leaves_the_overall_without_an_interval(untouched: Page) -> None:
    rules = {"confidence": 0.95, "normal": 1.96, "parts": [[[80, 1, 9], [0.02, 3, 9]]]}

    found = untouched.evaluate(
        "(rules) => trialpress.overall.standing(rules, [1, 1]).complete[0]", rules
    )

    assert found["value"] == pytest.approx(1.2649110641)
    assert (found["low"], found["high"]) == (None, None)


def test_the_range_in_which_the_first_stays_first_ends_where_two_values_meet(
    untouched: Page,
) -> None:
    # By hand: a = (80, 20), b = (40, 60) with weights (1, w): equal where 80 * 20^w = 40 * 60^w,
    # so w = ln 2 / ln 3.
    rules = {"confidence": 0.95, "normal": 1.96, "parts": [[[80, 1, 9], [20, 1, 9]]]}
    rules["parts"].append([[40, 1, 9], [60, 1, 9]])  # type: ignore[attr-defined]

    found = untouched.evaluate(
        "(rules) => trialpress.overall.firstPlace(rules, [1, 0.5], 1)", rules
    )

    assert (found["first"], found["below"], found["above"]) == (0, None, 1)
    assert found["high"] == pytest.approx(0.6309297536, rel=1e-9)


def test_in_steps_the_overall_is_the_weighted_mean_with_its_interval(untouched: Page) -> None:
    # By hand: (2 * 3 + 1 * -1.5) / 3 = 1.5; the variance (2/3 * 0.3)^2 + (1/3 * 0.6)^2 = 0.08, its
    # degrees of freedom 0.08^2 / (0.04^2 / 9 + 0.04^2 / 9) = 18 and t = 2.1009 (tables).
    rules = {
        "confidence": 0.95,
        "normal": 1.96,
        "inSteps": True,
        "parts": [[[3, 0.3, 9], [-1.5, 0.6, 9]]],
    }
    rules["parts"].append([[1, 0.3, 9], [1, 0.6, 9]])  # type: ignore[attr-defined]

    standing, first = untouched.evaluate(
        "(rules) => [trialpress.overall.standing(rules, [2, 1]).complete[0],"
        " trialpress.overall.firstPlace(rules, [2, 1], 1)]",
        rules,
    )

    half = 2.100922 * 0.08**0.5
    assert standing["value"] == pytest.approx(1.5)
    assert (standing["low"], standing["high"]) == pytest.approx((1.5 - half, 1.5 + half), rel=1e-6)
    # Equal where 2 * 3 - 1.5 w = 2 + w, so w = 1.6.
    assert (first["above"], first["high"]) == (1, pytest.approx(1.6))


def test_beyond_what_is_said_beside_a_weight_another_set_up_is_first_and_before_it_not(
    my_floors: Page,
) -> None:
    first = ranked(my_floors)[0][0]
    said = my_floors.locator("[data-protocol=crumbs] [data-holds]")
    expect(said).to_contain_text("stays first up to")
    end = float((said.text_content() or "").split("up to ")[1].split(";")[0])

    weight(my_floors, "Crumbs on tiles").fill(str(end))
    assert ranked(my_floors)[0][0] == first
    weight(my_floors, "Crumbs on tiles").fill(str(end + 0.05))
    rival = my_floors.locator("[data-complete-rows] > tr").first.locator(".name")

    assert ranked(my_floors)[0][0] != first
    name = (rival.get_attribute("data-value") or rival.locator("a").text_content() or "").strip()
    expect(my_floors.locator("[data-first]")).to_contain_text(name)


def test_the_keyboard_moves_a_weight_and_the_address_shares_it(
    my_floors: Page, open_page: OpenPage
) -> None:
    slider = my_floors.get_by_role("slider", name="Weight of Dust on loop carpet")
    slider.focus()
    for _ in range(5):
        my_floors.keyboard.press("ArrowRight")
    my_floors.keyboard.press("Tab")

    expect(weight(my_floors, "Dust on loop carpet")).to_have_value("1.5")
    assert "carpet*1.5" in my_floors.url
    other = open_page(my_floors.url)
    expect(weight(other, "Dust on loop carpet")).to_have_value("1.5")
    assert ranked(other) == ranked(my_floors)
    expect(other.get_by_role("heading", name="Standing at your weights")).to_be_visible()


def test_going_back_and_the_bench_s_own_weights_undo_it(my_floors: Page) -> None:
    own = ranked(my_floors)
    weight(my_floors, "Dust deep in a rug").fill("0")
    weight(my_floors, "Dust deep in a rug").press("Tab")
    mine = ranked(my_floors)
    assert mine != own

    my_floors.go_back()
    assert ranked(my_floors) == own
    my_floors.go_forward()
    assert ranked(my_floors) == mine
    my_floors.get_by_role("button", name="own weights").click()

    assert ranked(my_floors) == own
    assert "weights" not in my_floors.url


def test_what_was_not_run_on_all_that_counts_stands_apart_with_what_is_missing(
    my_floors: Page,
) -> None:
    apart = my_floors.locator("[data-incomplete-rows] > tr")
    before = apart.count()

    weight(my_floors, "Dried stains on tiles").fill("1")

    assert apart.count() > before
    expect(apart.first).to_contain_text("not yet run on:")
    expect(apart.filter(has_text="Torvek 80")).to_contain_text("Dried stains on tiles")
    expect(apart.filter(has_text="Torvek 80").locator(".place")).to_be_empty()


def test_where_nothing_counts_nobody_has_a_place(my_floors: Page) -> None:
    for box in my_floors.get_by_role("spinbutton", name="Weight of").all():
        box.fill("0")

    assert ranked(my_floors) == []
    expect(my_floors.locator("[data-first]")).to_have_text(
        "No floor counts: give at least one a weight."
    )


def test_filters_hold_while_weights_change(my_floors: Page) -> None:
    my_floors.get_by_label("Kind").select_option("robot")
    expect(my_floors.locator("[data-filter-count]")).to_contain_text("of 47 shown")
    robots = my_floors.locator("[data-rows] > tr:visible").count()

    weight(my_floors, "Crumbs on tiles").fill("3")

    assert my_floors.locator("[data-rows] > tr:visible").count() == robots
    kinds = attributes(my_floors.locator("[data-rows] > tr:visible"), "data-kind")
    assert set(kinds) == {"robot"}


def test_a_link_with_nonsense_in_it_falls_back_to_the_bench_s_own_weight(
    built_site: Path, open_page: OpenPage
) -> None:
    address = (built_site / "my-floors.html").as_uri()
    page = open_page(f"{address}?weights=carpet*-3_hair*many_nobody*2_crumbs")

    expect(weight(page, "Dust on loop carpet")).to_have_value("1")
    expect(weight(page, "Long hair on a door mat")).to_have_value("0.5")


def test_without_scripts_the_page_shows_the_bench_s_own_overall_and_says_why(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "my-floors.html", scripts=False)

    expect(page.get_by_text("scripts are switched off here")).to_be_visible()
    expect(page.get_by_role("slider")).to_have_count(0)
    assert ranked(page)[0][1] == "1"
    expect(page.locator("[data-complete-rows] > tr").first).to_be_visible()


def test_who_is_called_worse_than_the_first_cannot_be_first_by_the_bench_s_own_rule(
    untouched: Page, built_site: Path
) -> None:
    """The page's rule claims less than the bench's, so at its weights it never claims more."""
    published = {
        row["setup"]: int(row["place_best"])
        for row in read_results(built_site, "overall")
        if row["ranks"] == row["complete"] == "true" and row["scope"] == "bench"
    }
    found = untouched.evaluate(
        """() => {
          const rules = JSON.parse(document.querySelector('[data-figures]').textContent);
          const sliders = [...document.querySelectorAll('[data-own]')];
          const own = sliders.map(({ dataset }) => Number(dataset.own));
          const { complete } = trialpress.overall.standing(rules, own);
          const isWorse = (one) =>
            trialpress.overall.isBetter(complete[0], one, complete.length, rules);
          return complete.filter(isWorse).map(({ setup }) => rules.setups[setup].slug);
        }"""
    )

    assert len(found) > 10
    assert all(published[setup] > 1 for setup in found)
    assert len(found) > 0.8 * sum(best > 1 for best in published.values())


def test_two_set_ups_are_told_apart_where_bonferroni_s_critical_value_is_passed(
    untouched: Page,
) -> None:
    # Three set-ups with 9 degrees of freedom each, a difference with 18, three pairs: by
    # Bonferroni t(1 - 0.05 / 6; 18) = 2.639 standard errors, the square root of 2 (tables).
    def is_better(difference: float) -> bool:
        one = {"score": difference, "variance": 1, "df": 9}
        other = {"score": 0, "variance": 1, "df": 9}
        told = untouched.evaluate(
            "([one, other]) => trialpress.overall.isBetter(one, other, 3, { confidence: 0.95 })",
            [one, other],
        )
        return bool(told)

    assert is_better(2.641 * 2**0.5)
    assert not is_better(2.637 * 2**0.5)


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (390, 844)])
def test_the_first_three_stay_in_view_while_any_weight_is_set(
    width: int, height: int, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "my-floors.html", width=width, height=height)
    front = page.locator("[data-front] > li")
    before = front.first.inner_text()

    for slider in page.locator("[data-weights] [type=range]").all():
        slider.scroll_into_view_if_needed()
        for line in front.all():
            expect(line).to_be_in_viewport(ratio=1)
    page.get_by_label("Weight of Long hair on a door mat", exact=True).focus()
    page.keyboard.press("End")

    assert front.first.inner_text() != before
    expect(front.nth(1).locator(".verdict")).to_have_text(re.compile("cannot tell|worse"))


def test_no_weight_beyond_the_slider_is_told(untouched: Page) -> None:
    weights = untouched.locator("[data-protocol]").all()

    for weight in weights:
        most = float(weight.locator("[type=range]").get_attribute("max") or "")
        told = weight.locator("[data-holds]").inner_text()
        assert all(float(one) <= most for one in re.findall(r"(?:up|down) to ([0-9.]+)", told)), (
            told
        )
    assert len(weights) > 1
