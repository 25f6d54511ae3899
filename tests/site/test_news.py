"""What is new, and the feeds that tell of it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Protocol
from xml.etree import ElementTree as ET

import pytest

from trialpress.site.feeds import atom_feed, json_feed
from trialpress.site.frame import Link
from trialpress.site.news import NewsItem, news_of
from trialpress.site.source import SiteSource

ATOM = "{http://www.w3.org/2005/Atom}"
ITEMS = (
    NewsItem("day-b", date(2031, 3, 9), "A day & more", "On <carpet>.", ()),
    NewsItem("day-a", date(2031, 3, 2), "A day", "", (Link("Carpet", "standings/carpet.html"),)),
)


class WriteSite(Protocol):
    def __call__(self, as_of: date = ...) -> Path: ...


def atom(source: SiteSource, items: Sequence[NewsItem]) -> ET.Element:
    text = atom_feed(source.view.settings, items)
    return ET.fromstring(text)  # noqa: S314 -- written a line above


def test_an_atom_feed_has_all_that_the_standard_asks_for(source: SiteSource) -> None:
    # RFC 4287, 4.1.1 and 4.1.2: feed and entries need id, title and updated; a feed an author
    # where its entries have none
    feed = atom(source, ITEMS)
    base = source.view.settings.base_url

    for tag in ("id", "title", "updated", "author"):
        assert len(feed.findall(f"{ATOM}{tag}")) == 1
    assert feed.findtext(f"{ATOM}updated") == "2031-03-09T00:00:00Z"
    entries = feed.findall(f"{ATOM}entry")
    assert [entry.findtext(f"{ATOM}id") for entry in entries] == [
        f"{base}news.html#day-b",
        f"{base}news.html#day-a",
    ]
    assert entries[0].findtext(f"{ATOM}title") == "A day & more"
    assert entries[0].findtext(f"{ATOM}summary") == "On <carpet>."
    assert [link.get("rel") for link in feed.findall(f"{ATOM}link")] == ["self", "alternate"]


def test_a_json_feed_says_the_same(source: SiteSource) -> None:
    # jsonfeed.org, version 1.1: version, title and items are required, in each item id and one
    # of content_text and content_html
    feed = json.loads(json_feed(source.view.settings, ITEMS))
    base = source.view.settings.base_url

    assert feed["version"] == "https://jsonfeed.org/version/1.1"
    assert feed["feed_url"] == f"{base}feed.json"
    assert [item["id"] for item in feed["items"]] == [
        f"{base}news.html#day-b",
        f"{base}news.html#day-a",
    ]
    assert feed["items"][0]["content_text"] == "On <carpet>."


def test_a_feed_without_news_is_still_a_feed(source: SiteSource) -> None:
    assert atom(source, ()).findtext(f"{ATOM}updated") == "1970-01-01T00:00:00Z"
    assert json.loads(json_feed(source.view.settings, ()))["items"] == []


def test_news_are_newest_first_and_dated_by_the_data(source: SiteSource) -> None:
    news = news_of(source)
    dates = [item.on for item in news]

    assert dates == sorted(dates, reverse=True)
    assert len({item.item for item in news}) == len(news)
    days = {item.item.removeprefix("day-") for item in news if item.item.startswith("day-")}
    assert days == {run.day for run in source.view.runs if run.status != "planned"}


def test_corrections_made_together_are_one_item(source: SiteSource) -> None:
    together = {row.correction for row in source.view.corrections}
    items = [item for item in news_of(source) if item.item.startswith("correction-")]

    assert {item.item for item in items} == {f"correction-{one}" for one in together}


@pytest.mark.parametrize("feed", ["feed.xml", "feed.json"])
def test_every_address_in_a_feed_leads_to_its_item(feed: str, write: WriteSite) -> None:
    folder = write()
    text = (folder / feed).read_text(encoding="utf-8")
    page = (folder / "news.html").read_text(encoding="utf-8")
    items = [part.split('"')[0].split("<")[0] for part in text.split("news.html#")[1:]]

    assert items
    assert [item for item in items if f'id="{item}"' not in page] == []
