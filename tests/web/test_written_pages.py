"""The written pages of the demo bench, as files: links, policy, names."""

from __future__ import annotations

import gzip
import json
import re
from collections import Counter
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from web.reading_html import ReadPage, read_page

Pages = dict[str, ReadPage]
BASE_PATH = "/trialpress-demo/"  # the path of base_url in the demo's bench.toml


@pytest.fixture(scope="session")
def pages(built_site: Path) -> Pages:
    files = sorted(built_site.rglob("*.html"))
    return {file.relative_to(built_site).as_posix(): read_page(file) for file in files}


def resolved(site: Path, page: str, address: str) -> Path:
    """Where an address on a page leads, as a file of the site."""
    path = unquote(urlsplit(address).path)
    if path.startswith(BASE_PATH):
        return site / path.removeprefix(BASE_PATH)
    return (site / page).parent / path if path else site / page


def is_elsewhere(address: str) -> bool:
    return urlsplit(address).scheme in {"http", "https", "mailto"}


def test_every_kind_of_page_is_written(pages: Pages) -> None:
    kinds = Counter(name.partition("/")[0] for name in pages)

    # catalogue of the demo: 42 machines of which 41 are visible, 11 makers, 8 protocols with two
    # series in one of them, 6 floors; each list of pages has an index
    assert kinds["standings"] == 9
    assert kinds["methods"] == 8 + 1
    assert kinds["floors"] == 6
    assert kinds["machines"] > kinds["makers"] > 5
    for name in (
        "index",
        "overall",
        "data",
        "about",
        "corrections",
        "search",
        "404",
        "machines/index",
        "makers/index",
        "methods/index",
    ):
        assert f"{name}.html" in pages


def test_no_link_inside_the_site_is_broken(built_site: Path, pages: Pages) -> None:
    ids = {(built_site / name).resolve(): set(page.ids) for name, page in pages.items()}
    broken = []
    for name, page in pages.items():
        for address in page.links:
            if is_elsewhere(address):
                continue
            target = resolved(built_site, name, address).resolve()
            fragment = urlsplit(address).fragment
            if not target.is_file() or (fragment and fragment not in ids[target]):
                broken.append((name, address))

    assert broken == []


def test_everything_a_page_loads_is_the_site_s_own_and_there(
    built_site: Path, pages: Pages
) -> None:
    loads = [(name, address) for name, page in pages.items() for address in page.loads]

    assert [one for one in loads if is_elsewhere(one[1]) or one[1].startswith("//")] == []
    files = [(n, a) for n, a in loads if not a.startswith("#")]
    assert [one for one in files if not resolved(built_site, *one).is_file()] == []


def test_no_page_holds_what_its_policy_refuses(pages: Pages) -> None:
    assert {name: page.refused for name, page in pages.items() if page.refused} == {}


def test_no_id_is_used_twice_on_a_page(pages: Pages) -> None:
    twice = {
        name: [one for one, times in Counter(page.ids).items() if times > 1]
        for name, page in pages.items()
    }

    assert {name: ids for name, ids in twice.items() if ids} == {}


def test_every_page_has_one_heading_a_language_and_its_own_title_and_address(
    pages: Pages,
) -> None:
    assert {page.language for page in pages.values()} == {"en"}
    assert {page.tags.count("h1") for page in pages.values()} == {1}
    assert all(page.description for page in pages.values())
    assert max(Counter(page.title for page in pages.values()).values()) == 1
    whole = [page for name, page in pages.items() if not name.startswith("embed/")]
    assert max(Counter(page.canonical for page in whole).values()) == 1
    assert pages["machines/index.html"].canonical == (
        "https://example.org/trialpress-demo/machines/index.html"
    )


def test_the_first_view_is_small(built_site: Path) -> None:
    """60 kB compressed for any page with its styles, which hold the faces that English needs."""
    styles = {file.name: packed(file) for file in (built_site / "static").glob("*.css")}
    sizes = {
        page.relative_to(built_site).as_posix(): packed(page)
        + sum(styles[name] for name in re.findall(r"static/(\w+\.css)", page.read_text("utf-8")))
        for page in built_site.rglob("*.html")
    }

    assert styles.keys() >= {"faces.css", "palette.css", "site.css", "views.css"}
    assert {name: size for name, size in sizes.items() if size >= 60_000} == {}


def packed(file: Path) -> int:
    return len(gzip.compress(file.read_bytes(), 9))


def test_the_search_index_leads_to_pages_and_misses_none(built_site: Path, pages: Pages) -> None:
    script = (built_site / "static" / "search-index.js").read_text(encoding="utf-8")
    index = json.loads(script.removeprefix("window.trialpressIndex = ").removesuffix(";\n"))
    entries = index["pages"]

    frozen = [name for name in pages if re.match(r"editions/[0-9]", name)]  # as a film linked them
    found_by_name = {name for name in pages if not name.startswith(("embed/", "worked/"))}
    found_by_name -= {*frozen}
    assert len(frozen) > 10
    assert {entry["u"] for entry in entries} == found_by_name - {
        "index.html",
        "search.html",
        "404.html",
    }
