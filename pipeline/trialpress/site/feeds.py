"""What is new, as feeds that programs follow.

In:  the news and the bench's settings.
Out: Atom (RFC 4287) and JSON Feed (version 1.1) as text. Identifiers are the addresses of the items
     on the page of news, so that they last as long as the site's own address.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date
from xml.etree import ElementTree as ET

from trialpress.bench import Settings
from trialpress.site import urls
from trialpress.site.news import NewsItem
from trialpress.words import say, spoken

ATOM = "http://www.w3.org/2005/Atom"
JSON_FEED_VERSION = "https://jsonfeed.org/version/1.1"
NOTHING_YET = date(1970, 1, 1)  # Atom asks for a date even of a feed without entries


def atom_feed(settings: Settings, items: Sequence[NewsItem]) -> str:
    """The news as an Atom feed."""
    page = settings.base_url + urls.NEWS
    feed = ET.Element("feed", {"xmlns": ATOM, "xml:lang": spoken().tag})
    _add(feed, "title", title_of(settings))
    _add(feed, "id", page)
    _add(feed, "updated", _moment(max((item.on for item in items), default=NOTHING_YET)))
    ET.SubElement(feed, "link", {"rel": "self", "href": settings.base_url + urls.ATOM})
    ET.SubElement(feed, "link", {"rel": "alternate", "href": page})
    _add(ET.SubElement(feed, "author"), "name", settings.name)
    _add(feed, "rights", settings.licence)
    for item in items:
        entry = ET.SubElement(feed, "entry")
        _add(entry, "title", item.title)
        _add(entry, "id", address_of(settings, item))
        _add(entry, "updated", _moment(item.on))
        ET.SubElement(entry, "link", {"rel": "alternate", "href": address_of(settings, item)})
        _add(entry, "summary", item.text)
    ET.indent(feed)
    return '<?xml version="1.0" encoding="utf-8"?>\n' + ET.tostring(feed, "unicode") + "\n"


def json_feed(settings: Settings, items: Sequence[NewsItem]) -> str:
    """The news as a JSON Feed."""
    feed = {
        "version": JSON_FEED_VERSION,
        "title": title_of(settings),
        "home_page_url": settings.base_url,
        "feed_url": settings.base_url + urls.JSON_FEED,
        "language": spoken().tag,
        "authors": [{"name": settings.name, "url": settings.base_url}],
        "items": [
            {
                "id": address_of(settings, item),
                "url": address_of(settings, item),
                "title": item.title,
                "content_text": item.text,
                "date_published": _moment(item.on),
            }
            for item in items
        ],
    }
    return json.dumps(feed, ensure_ascii=False, indent=1) + "\n"


def title_of(settings: Settings) -> str:
    """What the feeds are called."""
    return say("What is new at {bench}", bench=settings.name)


def address_of(settings: Settings, item: NewsItem) -> str:
    """The absolute address of one item on the page of news."""
    return f"{settings.base_url}{urls.NEWS}#{item.item}"


def _moment(on: date) -> str:
    return f"{on.isoformat()}T00:00:00Z"


def _add(parent: ET.Element, tag: str, text: str) -> None:
    ET.SubElement(parent, tag).text = text
