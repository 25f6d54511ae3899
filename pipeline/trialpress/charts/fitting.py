"""Words cut to the width they have, before they are drawn.

In:  text, a width in pixels and a size of type.
Out: the text, or its beginning with an ellipsis.

Vega can do this too, but measures every text of every chart again and again for it.

Short: every form asks it, so that words are measured in one way.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache

# Advance widths of Helvetica, which Liberation Sans shares, in thousandths of the size of type
# (Adobe Font Metrics, Core 14 fonts).
ADVANCES = {
    191: "'",
    222: "ijl",
    278: " !,./:;I[]\\ft",
    333: "()-`r",
    500: "Jcksvxyz",
    556: "#$0123456789L_abdeghnopqu?",
    584: "+<=>~",
    611: "FTZ",
    667: "&ABEKPSVXY",
    722: "CDHNRUw",
    778: "GOQ",
    833: "Mm",
    889: "%",
    944: "W",
}
ADVANCE = {letter: advance for advance, letters in ADVANCES.items() for letter in letters}
WIDEST = 1000
ELLIPSIS = "\N{HORIZONTAL ELLIPSIS}"


@lru_cache(maxsize=1 << 14)
def text_width(text: str, size: float) -> float:
    """The width of a text in pixels; letters with accents are as wide as without."""
    bare = unicodedata.normalize("NFD", text)
    letters = (letter for letter in bare if not unicodedata.combining(letter))
    return sum(ADVANCE.get(letter, WIDEST) for letter in letters) * size / 1000


def fit(text: str, width: float, size: float) -> str:
    """The text if it fits, else as much of it as does with an ellipsis."""
    if text_width(text, size) <= width:
        return text
    kept = text
    while kept and text_width(kept + ELLIPSIS, size) > width:
        kept = kept[:-1]
    return kept.rstrip(" ,") + ELLIPSIS
