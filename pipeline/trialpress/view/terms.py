"""Every code with its word.

In:  codes as results and analyses wrote them; several in one cell are joined by ``|``.
Out: texts in the language spoken; ``every_term`` lists them all, for a table of its own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import astuple, dataclass

from trialpress.store import Store
from trialpress.view.vocabulary import (
    ACQUIRED,
    BENCH_DRIFT,
    CONSTANTS,
    EFFECTS,
    FACTORS,
    FLAGS,
    FRONTS,
    HELD_AGAINST,
    KINDS,
    LISTS,
    MOVED,
    PARTS,
    READINGS,
    SHORT_FLAGS,
    SIGNALS,
    STUDY_CASES,
    VERDICTS,
    WARNINGS,
    WHY,
)
from trialpress.words import ENGLISH, figures, say, speaking, spoken

__all__ = [
    "ACQUIRED",
    "BENCH_DRIFT",
    "EFFECTS",
    "FACTORS",
    "FLAGS",
    "FRONTS",
    "HELD_AGAINST",
    "KINDS",
    "LISTS",
    "MOVED",
    "PARTS",
    "READINGS",
    "SHORT_FLAGS",
    "SIGNALS",
    "STUDY_CASES",
    "VERDICTS",
    "WARNINGS",
    "WHY",
    "Term",
    "codes",
    "every_term",
    "group_name",
    "kind_name",
    "term",
    "warning_words",
    "why_words",
    "write_terms",
]


def codes(cell: str | None) -> tuple[str, ...]:
    """The codes of one cell, in the order they stand in."""
    return tuple(cell.split("|")) if cell else ()


@dataclass(frozen=True)
class Term:
    """A code of one list, and its words."""

    list: str
    code: str
    words: str


@dataclass(frozen=True)
class TermRow:
    """``terms``: one row a code of a list, and language."""

    list: str
    code: str
    language: str
    words: str


def term(of: str, code: str, **columns: object) -> str:
    """The words of one code.

    Parameters
    ----------
    of : str
        The list, one of ``LISTS``.
    code : str
        One of the list.
    columns
        Columns of the row that the words mention, by name.

    Raises
    ------
    KeyError
        If the list has no such code, or its words mention another column.
    """
    return LISTS[of].filled(code, **columns)


def every_term() -> Iterator[Term]:
    """All lists with all codes; columns that words mention stay as ``{column}``."""
    for of, words in LISTS.items():
        for code in words:
            named = {name: f"{{{name}}}" for name in words.mentioned(code)}
            yield Term(of, str(code), words.filled(code, **{**named, **CONSTANTS}))


def write_terms(store: Store) -> None:
    """Keep the table ``terms``: every code with its words, in English and the language spoken."""
    rows = []
    for language in {ENGLISH.tag: ENGLISH, spoken().tag: spoken()}.values():
        with speaking(language):
            rows += [TermRow(one.list, one.code, language.tag, one.words) for one in every_term()]
    store.write_records("terms", TermRow, sorted(rows, key=astuple))


def warning_words(warning: str | None, **columns: object) -> str:
    """What to beware of; blank where there is nothing."""
    return "; ".join(term("warning", code, **columns) for code in codes(warning))


def why_words(why: str | None, **columns: object) -> str:
    """Why there is no figure."""
    return say("there is no such figure") if why is None else term("why", why, **columns)


def kind_name(kind: str) -> str:
    """What a kind of machines is called: as the bench typed it where it is the bench's own."""
    return KINDS[kind] if kind in KINDS else kind.replace("-", " ")


def group_name(factor: str, level: str) -> str:
    """What a group of machines is called: by its kind or prices, or as the bench has it."""
    if factor == "price-band":
        low, high = (figures.typed_number(float(end)) for end in re.split(r"(?<!e)-", level))
        return say("{low} to {high}", low=low, high=high)
    return kind_name(level) if factor == "kind" else level
