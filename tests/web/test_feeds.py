"""What programs read of the built site: feeds, sitemap, data blocks, and the addresses in them."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit
from xml.etree import ElementTree as ET

import pytest

from web.conftest import OpenPage
from web.reading_html import read_page
from web.serving import origin

BASE = "https://example.org/trialpress-demo/"  # base_url of the demo's bench.toml
ADDRESS = re.compile(rf'{re.escape(BASE)}[^\s"<>\\&]*')
SITEMAP = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
FOR_PROGRAMS = ("feed.xml", "feed.json", "sitemap.xml", "robots.txt")
# schema.org has them, and no bench has measured any
INVENTED = ("aggregateRating", "reviewRating", "ratingValue", "bestRating", "award")


def data_block(site: Path, page: str) -> dict[str, Any]:
    text = (site / page).read_text(encoding="utf-8")
    found = re.search(r'<script type="application/ld\+json">(.*?)</script>', text)
    assert found, page
    block: dict[str, Any] = json.loads(found[1])
    return block


def texts(site: Path) -> Iterator[tuple[str, str]]:
    """Every text file that programs or readers get, apart from the dataset."""
    for file in sorted(site.rglob("*")):
        name = file.relative_to(site).as_posix()
        if name in FOR_PROGRAMS or (file.suffix in {".html", ".json"} and "dataset/" not in name):
            yield name, file.read_text(encoding="utf-8")


def test_every_absolute_address_of_the_site_leads_to_a_file_and_a_place_in_it(
    built_site: Path,
) -> None:
    found = {
        (name, address) for name, text in texts(built_site) for address in ADDRESS.findall(text)
    }
    targets = {address for _, address in found}
    ids: dict[Path, set[str]] = {}
    broken = set()
    for address in targets:
        parts = urlsplit(address.removeprefix(BASE))
        file = built_site / (parts.path or "index.html")
        if not file.is_file():
            broken.add(address)
        elif parts.fragment:
            known = ids.setdefault(file, set(read_page(file).ids))
            broken |= set() if parts.fragment in known else {address}

    assert len(targets) > 200
    assert {one for one in found if one[1] in broken} == set()


def test_the_sitemap_has_every_page_once_and_no_small_ones(built_site: Path) -> None:
    root = ET.parse(built_site / "sitemap.xml").getroot()  # noqa: S314 -- the build wrote it
    listed = [str(one.text).removeprefix(BASE) for one in root.iter(f"{SITEMAP}loc")]
    pages = {
        file.relative_to(built_site).as_posix()
        for file in built_site.rglob("*.html")
        if file.parent.name != "embed"
    }

    assert len(listed) == len(set(listed))
    assert set(listed) == pages - {"404.html", "index.html"} | {""}


def test_robots_may_read_everything_and_are_shown_the_sitemap(built_site: Path) -> None:
    # RFC 9309: groups of user-agent and rules; the Sitemap line belongs to no group
    text = (built_site / "robots.txt").read_text(encoding="utf-8")

    assert text.splitlines() == ["User-agent: *", "Allow: /", "", f"Sitemap: {BASE}sitemap.xml"]


def test_only_small_pages_may_be_framed_by_others(built_site: Path) -> None:
    whole, _, small = (built_site / "_headers").read_text(encoding="utf-8").partition("/embed/*")

    assert "frame-ancestors 'none'" in whole
    assert "frame-ancestors *" in small
    # The page that asks in SQL, and the worker that answers, compile SQLite; nothing else may.
    assert (whole + small).count("unsafe") == small.count("'wasm-unsafe-eval'") == 2


def test_the_dataset_is_described_with_every_file_to_download(built_site: Path) -> None:
    # schema.org/Dataset: name and description are what every reader of it asks for
    told = data_block(built_site, "data.html")

    assert told["@type"] == "Dataset"
    assert told["name"]
    assert 50 <= len(told["description"]) <= 5000
    assert told["license"]["name"] == "CC-BY-4.0"
    files = [one["contentUrl"].removeprefix(BASE) for one in told["distribution"]]
    assert len(files) > 20
    assert [name for name in files if not (built_site / name).is_file()] == []


def test_the_first_page_is_the_catalogue_of_that_dataset(built_site: Path) -> None:
    told = data_block(built_site, "index.html")

    assert told["@type"] == "DataCatalog"
    assert told["dataset"]["@id"] == data_block(built_site, "data.html")["@id"]


@pytest.mark.parametrize("page", ["standings/carpet.html", "overall.html", "machines/index.html"])
def test_lists_are_told_in_their_order(page: str, built_site: Path) -> None:
    # schema.org/ItemList: numberOfItems, and ListItem with position and url
    told = data_block(built_site, page)
    items = told["itemListElement"]

    assert told["@type"] == "ItemList"
    assert told["numberOfItems"] == len(items) > 5
    assert [item["position"] for item in items] == list(range(1, len(items) + 1))
    assert all(item["name"] for item in items)


def test_no_rating_is_invented(built_site: Path) -> None:
    told = [(name, word) for name, text in texts(built_site) for word in INVENTED if word in text]

    assert told == []


def test_a_reader_follows_what_is_new_from_any_page(built_site: Path, open_page: OpenPage) -> None:
    with origin(built_site) as address:
        page = open_page(f"{address}machines/kelbrin-14.html")
        feed = page.locator('link[type="application/atom+xml"]').evaluate("link => link.href")
        assert feed == f"{address}feed.xml"
        page.get_by_role("link", name="What is new").click()
        page.wait_for_url("**/news.html")

        first = page.locator("li[id^=day-]").first
        entry = ET.parse(built_site / "feed.xml").getroot()  # noqa: S314 -- the build wrote it
        titles = [one.text for one in entry.iter("{http://www.w3.org/2005/Atom}title")]
        assert first.locator("strong").inner_text() in titles
        first.locator("a").first.click()
        page.wait_for_url("**/standings/*.html")
