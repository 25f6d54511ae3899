"""Links, ids and attributes of written pages, read with the standard library's parser."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path

LOADING = {"img": "src", "script": "src", "link": "href", "source": "src", "use": "href"}
DATA_BLOCKS = {"application/json", "application/ld+json"}
NOT_LOADED = {"canonical", "alternate"}


@dataclass
class ReadPage:
    """What one page refers to, and what in it a strict policy would refuse."""

    links: list[str] = field(default_factory=list)
    loads: list[str] = field(default_factory=list)
    ids: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    tags: list[str] = field(default_factory=list)
    title: str = ""
    language: str = ""
    description: str = ""
    canonical: str = ""


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.page = ReadPage()
        self.tag = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        page, said = self.page, {name: value or "" for name, value in attrs}
        self.tag = tag
        page.tags.append(tag)
        page.ids.extend([said["id"]] if "id" in said else [])
        page.refused.extend(name for name in said if name == "style" or name.startswith("on"))
        if tag == "style" or (tag == "script" and "src" not in said):
            page.refused.extend([] if said.get("type") in DATA_BLOCKS else [tag])
        if tag == "a" and "href" in said:
            page.links.append(said["href"])
        if tag in LOADING and LOADING[tag] in said and said.get("rel") not in NOT_LOADED:
            page.loads.append(said[LOADING[tag]])
        self._note_head(tag, said)

    def _note_head(self, tag: str, said: dict[str, str]) -> None:
        if tag == "html":
            self.page.language = said.get("lang", "")
        if tag == "meta" and said.get("name") == "description":
            self.page.description = said["content"]
        if tag == "link" and said.get("rel") == "canonical":
            self.page.canonical = said["href"]

    def handle_data(self, data: str) -> None:
        if self.tag == "title" and not self.page.title:
            self.page.title = data


def read_page(file: Path) -> ReadPage:
    reader = _Reader()
    reader.feed(file.read_text(encoding="utf-8"))
    return reader.page
