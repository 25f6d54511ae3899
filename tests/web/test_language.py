"""Every text of a site goes through the catalogue.

The site is built with a translation whose letters are all Cyrillic: what is Latin then is the
bench's own, or a text that no translator could reach.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

import trialpress
from flow.benches import SMALL, copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.words import write_words
from trialpress.flow import Order, Output, build
from web.conftest import OpenPage
from web.texts import texts_of
from words.another_language import TAG, fill, in_other_letters

PACKAGE = Path(trialpress.__file__).parent
WORD = re.compile(r"[A-Za-z]{2,}")
NAMES = {
    "bench",
    "cff",
    "citation",
    "csv",
    "datapackage",
    "dataset",
    "dictionary",
    "duckdb",
    "frictionless",
    "json",
    "jsonld",
    "kb",
    "kpa",
    "md",
    "min",
    "mm",
    "pandas",
    "parquet",
    "readme",
    "sha",
    "sqlite",
    "sums",
    "toml",
    "txt",
}
FILES = re.compile(
    r"\b(results|as_typed|schemas|methods|data)/[\w./-]+|\w+_\w+|trialpress-dataset.zip"
)


def latin_words(text: str) -> set[str]:
    return {word.casefold() for word in WORD.findall(FILES.sub("", text))} - NAMES


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("other")
    bench = Bench(copy_of_small_bench(folder / "bench"))
    write_words(bench, TAG)
    fill(bench.translation(TAG))
    settings = bench.settings_file.read_text("utf-8")
    bench.settings_file.write_text(f'{settings}\nlanguage = "{TAG}"\n', "utf-8")
    order = Order(bench, date(2031, 7, 1), folder / "out", (Output.SITE,), lambda _: None)
    build(order)
    return folder / "out" / "site"


@pytest.fixture(scope="module")
def own_words() -> set[str]:
    """Words that stand in the bench's own files, and names of tables and columns."""
    files = (file for file in SMALL.rglob("*") if file.suffix in {".csv", ".toml", ".md"})
    schemas = [json.loads(file.read_text("utf-8")) for file in PACKAGE.glob("*/schemas/*.json")]
    names = {one.get("name", "") for schema in schemas for one in (schema, *schema["fields"])}
    return names | {word for file in files for word in latin_words(file.read_text("utf-8"))}


def pages_of(site: Path) -> Iterator[Path]:
    return site.rglob("*.html")


def test_no_text_of_any_page_is_out_of_a_translators_reach(site: Path, own_words: set[str]) -> None:
    unsaid = {
        f"{page.relative_to(site)}: {text.strip()}"
        for page in pages_of(site)
        for text in texts_of(page)
        if latin_words(text) - own_words
    }

    assert "\n".join(sorted(unsaid)) == ""


def test_every_page_says_which_language_it_is_in(site: Path) -> None:
    tags = {
        re.findall(r"<html lang=\"([^\"]*)\"", page.read_text("utf-8"))[0]
        for page in pages_of(site)
    }

    assert tags == {TAG}


def unsaid_words(page: Page, own_words: set[str]) -> set[str]:
    """Latin words that a reader of the page as it stands sees."""
    return latin_words(page.locator("main").inner_text()) - own_words


def test_what_scripts_say_is_in_the_language_of_the_page(
    site: Path, own_words: set[str], open_page: OpenPage
) -> None:
    page = open_page(site / "standings" / "pickup.html")
    page.locator("[data-filters] select").first.select_option(index=1)
    expect(page.locator("[data-filter-count]")).to_contain_text(in_other_letters("shown"))
    page.get_by_role("radio").last.check(force=True)
    expect(page.locator("[data-against-head]")).to_contain_text(
        in_other_letters("Against the chosen")
    )

    assert unsaid_words(page, own_words) == set()


def test_weights_of_a_reader_give_figures_as_the_language_writes_them(
    site: Path, own_words: set[str], open_page: OpenPage
) -> None:
    page = open_page(site / "my-floors.html")
    page.locator("[data-weights] input[type=number]").first.fill("3")

    value = page.locator("[data-complete-rows] .value").first
    expect(value).to_have_text(re.compile(r"^\d+,\d+$"))
    expect(page.locator("[data-first]")).to_contain_text(in_other_letters("by value"))
    assert unsaid_words(page, own_words) == set()


def test_set_ups_side_by_side_and_a_search_are_in_the_language(
    site: Path, own_words: set[str], open_page: OpenPage
) -> None:
    compared = open_page(site / "compare.html")
    for option in (1, 2):
        compared.locator("[data-compare] select").select_option(index=option)
    expect(compared.locator("[data-compare-table] table")).to_be_visible()
    found = open_page(site / "search.html")
    found.goto(f"{found.url}?q=rug")
    expect(found.locator("[data-search-results] li").first).to_be_visible()

    assert unsaid_words(compared, own_words) == set()
    assert unsaid_words(found, own_words) == set()
