"""What a page says to somebody who reads it, looks at it or hears it.

In:  a page as a file.
Out: its texts, those of labels and descriptions among them, and nothing of programs.
"""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path

SAID = {"aria-label", "placeholder", "title", "alt", "data-label", "label"}
OF_PROGRAMS = {"script", "style", "code", "textarea"}


class _Texts(HTMLParser):
    """What a page says to somebody who reads it, looks at it or hears it."""

    def __init__(self) -> None:
        super().__init__()
        self.inside: list[str] = []
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        self.texts += [value for name, value in attrs if name in SAID and value]
        name = said.get("name") or said.get("property") or ""
        if tag == "meta" and name.endswith(("description", "title", "alt")):
            self.texts.append(said["content"] or "")
        if tag in OF_PROGRAMS:
            self.inside.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if self.inside and self.inside[-1] == tag:
            self.inside.pop()

    def handle_data(self, data: str) -> None:
        if not self.inside:
            self.texts.append(data)


def texts_of(page: Path) -> list[str]:
    reader = _Texts()
    reader.feed(page.read_text("utf-8"))
    return reader.texts
