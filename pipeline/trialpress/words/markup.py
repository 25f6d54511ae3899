"""The markup of a text: what a translation must have as the English text has it.

In:  a text of the pages, which may have HTML in it.
Out: its elements with their attributes and values, in no order, as a browser would see them.
"""

from __future__ import annotations

import re
from collections import Counter
from html.parser import HTMLParser

_NAMED = re.compile(r"&(#?\w+);")
Markup = Counter[tuple[str, ...]]


class _Parts(HTMLParser):
    """Collects everything of a text that is not words."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.parts: Markup = Counter()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = sorted((name, value or "") for name, value in attrs)
        self.parts["start", tag, *(text for pair in given for text in pair)] += 1

    def handle_endtag(self, tag: str) -> None:
        self.parts["end", tag] += 1

    def handle_comment(self, data: str) -> None:
        self.parts["comment", data] += 1

    def handle_decl(self, decl: str) -> None:
        self.parts["declaration", decl] += 1

    def unknown_decl(self, data: str) -> None:
        self.parts["declaration", data] += 1

    def handle_pi(self, data: str) -> None:
        self.parts["instruction", data] += 1


def markup_of(text: str) -> Markup:
    """The elements of a text, each with its attributes and their values.

    Two texts with the same markup have as many ``<`` as well: what one parser passes over as words
    (a tag that is never closed) another may not.
    """
    parser = _Parts()
    parser.feed(text)
    parser.close()
    parser.parts["<",] = text.count("<")
    return parser.parts


def has_markup(text: str) -> bool:
    """Whether a text must stand in a page as it is: it has elements, or characters by name."""
    parts = markup_of(text)
    return any(kind[0] != "<" for kind in parts) or _NAMED.search(text) is not None
