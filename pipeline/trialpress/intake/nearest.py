"""The word a tester most likely meant.

In:  a word as typed, and the words that exist.
Out: the nearest of them, or none where nothing is near.

Short: findings, commands and explanations ask it, in three stages.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from functools import lru_cache


def meant(word: str, known: Iterable[str]) -> str:
    """A question to put behind an unknown word, with a space after it; blank where none is near."""
    near = nearest(word, frozenset(known))
    return f"Is {near} meant? " if near else ""


@lru_cache(maxsize=1024)
def nearest(word: str, known: frozenset[str]) -> str | None:
    """Find the known word that looks most like ``word``, ``None`` where none does.

    Of equally near words the first in sorted order is taken. One misspelt word often stands in
    many rows, so answers are kept.
    """
    matches = difflib.get_close_matches(word, sorted(known), n=1, cutoff=0.6)
    return matches[0] if matches else None
