"""The text of a method, from Markdown to HTML.

In:  Markdown as the tester wrote it.
Out: HTML that is safe to show: raw HTML stays text, pictures are left out, the text's own title
     gives way to the page's, other headings start one level below the page's sections.
"""

from __future__ import annotations

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup

HIGHEST_LEVEL = 3
LOWEST_LEVEL = 6


def method_html(markdown: str) -> Markup:
    """The text of one method as HTML."""
    reader = MarkdownIt("commonmark", {"html": False}).enable("table").disable("image")
    tokens = _without_title(reader.parse(markdown))
    _lower_headings(tokens)
    return Markup(reader.renderer.render(tokens, reader.options, {}))  # noqa: S704 - HTML is off


def _without_title(tokens: list[Token]) -> list[Token]:
    heading = ("heading_open", "inline", "heading_close")
    starts_with_title = tuple(token.type for token in tokens[:3]) == heading
    return tokens[3:] if starts_with_title and tokens[0].tag == "h1" else tokens


def _lower_headings(tokens: list[Token]) -> None:
    levels = [int(token.tag[1]) for token in tokens if token.type == "heading_open"]
    down = HIGHEST_LEVEL - min(levels, default=HIGHEST_LEVEL)
    for token in tokens:
        if token.type in {"heading_open", "heading_close"}:
            token.tag = f"h{min(int(token.tag[1]) + down, LOWEST_LEVEL)}"
