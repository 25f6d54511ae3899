"""A translation of everything, whose letters no English text has.

In:  the catalogue of texts.
Out: the catalogue with each text in Cyrillic letters, one for one; what is filled in and tags stay.
     Whatever a page still has in Latin letters then is data, or was never said.
"""

from __future__ import annotations

import io
import re
import string
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po

TAG = "uk"
_CYRILLIC = "абцдефгхіїклмнопярстувжшщз"
_LETTERS = str.maketrans(
    string.ascii_lowercase + string.ascii_uppercase, _CYRILLIC + _CYRILLIC.upper()
)
_KEPT = re.compile(r"(\{\w*\}|%\(\w+\)s|<[^>]*>|&\w+;)")


def in_other_letters(text: str) -> str:
    """The text with its own letters changed."""
    parts = _KEPT.split(text)
    return "".join(part if _KEPT.fullmatch(part) else part.translate(_LETTERS) for part in parts)


def fill(path: Path) -> Catalog:
    """Translate every text of a file that ``words`` has written."""
    with path.open("rb") as opened:
        texts = read_po(opened, locale=TAG)
    for one in texts:
        if isinstance(one.id, tuple):
            first, *more = (in_other_letters(text) for text in one.id)
            one.string = (first, *more * (texts.num_plurals - 1))
        elif isinstance(one.id, str) and one.id:
            one.string = in_other_letters(one.id)
    written = io.BytesIO()
    write_po(written, texts)
    path.write_bytes(written.getvalue())
    return texts
