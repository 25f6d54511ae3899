"""Guards for single cells, where a Table Schema or its reader is more lenient than a bench can be.

In:  a cell as typed and the column it is in.
Out: at most one finding a cell.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from functools import cache, lru_cache
from importlib.resources import files

from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.rows import Row
from trialpress.intake.schemas import Field, read_schema
from trialpress.intake.textfile import codes_of, unseen_characters

_PLAIN_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?([eE][-+]?[0-9]{1,3})?")
_SPELLING = {
    "number": _PLAIN_NUMBER,
    "integer": re.compile(r"-?(0|[1-9][0-9]*)"),
    "boolean": re.compile(r"true|false"),
}
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_LONGEST_NUMBER = 30
TEXTS_KEPT = 50_000
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
_BLANK_LOOKING = {"n/a", "#n/a", "nan", "null", "-", "--", "\u2013", "\u2014", "?", "."}
_RESERVED = {"index", "con", "prn", "aux", "nul"}
_RESERVED |= {f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10)}
_NAMES_PAGES = {"maker", "machine", "floor", "protocol", "photo"}
_VERSION_ENDING = re.compile(r"-v[0-9]+$")


def check_cells(rows: Iterable[Row]) -> Iterator[Finding]:
    """Check every cell that is not blank."""
    for row in rows:
        for field, is_sound in _guards(row.table):
            text = row.cells[field.name]
            if text is not None and not is_sound(text):
                finding = check_cell(text, field, row.table, row.place(field.name))
                if finding is not None:
                    yield finding


@cache
def _guards(table: str) -> tuple[tuple[Field, Callable[[str], bool]], ...]:
    """Whether nothing is wrong with a text, by column; kept, as most cells hold what others do."""
    nowhere = Place("", 1)

    def guard(field: Field) -> Callable[[str], bool]:
        return lru_cache(maxsize=TEXTS_KEPT)(
            lambda text: check_cell(text, field, table, nowhere) is None
        )

    return tuple((field, guard(field)) for field in read_schema(table).fields)


def check_cell(text: str, field: Field, table: str, place: Place) -> Finding | None:
    """Check one cell that is not blank; ``None`` where nothing is wrong with it."""
    return _check_characters(text, field, place) or _check_content(text, field, table, place)


def _check_characters(text: str, field: Field, place: Place) -> Finding | None:
    """Refuse what looks like something else than it is, whatever the column."""
    finding = None if text.isascii() and text.isprintable() else _check_unseen(text, place)
    if finding is None and (text.lower() in _BLANK_LOOKING or not text.strip()):
        finding = found(FindingCode.BLANK_LOOKING, place, text)
    if finding is None and field.type == "string" and is_formula(text):
        finding = found(FindingCode.FORMULA_TEXT, place, text)
    return finding


def is_formula(text: str) -> bool:
    """Whether a spreadsheet would run a text, which is not blank, as a formula."""
    return text[0] in _FORMULA_STARTS and not _PLAIN_NUMBER.fullmatch(text)


def _check_unseen(text: str, place: Place) -> Finding | None:
    """Refuse characters that cannot be seen; a line break inside free text can."""
    unseen = unseen_characters(text)
    if not "".join(char for char in text if char not in unseen).strip():
        return found(FindingCode.BLANK_LOOKING, place, text)
    if unseen:
        return found(FindingCode.CONTROL_CHARACTER, place, text, codes=codes_of(unseen))
    return None


def _check_content(text: str, field: Field, table: str, place: Place) -> Finding | None:
    if field.type == "date" or field.name == "at":
        return _check_date(text, field, place)
    if field.type != "string":
        return _check_spelling(text, field, place)
    return _check_meaning(text, field, table, place)


def _check_spelling(text: str, field: Field, place: Place) -> Finding | None:
    """Numbers in one spelling only, whatever a reader would let pass."""
    if _SPELLING[field.type].fullmatch(text) and len(text) <= _LONGEST_NUMBER:
        return None
    return found(FindingCode.CELL_TYPE, place, text, variant=field.type)


def _check_date(text: str, field: Field, place: Place) -> Finding | None:
    """Dates with all their noughts only, and only those the calendar has."""
    if _DATE.match(text) and not is_date(text[:10]):
        return found(FindingCode.DATE_IMPOSSIBLE, place, text)
    if field.type == "date" and not _DATE.fullmatch(text):
        return found(FindingCode.CELL_TYPE, place, text, variant="date")
    return None


def _check_meaning(text: str, field: Field, table: str, place: Place) -> Finding | None:
    if field.name == "currency" and text not in currencies():
        return found(FindingCode.CURRENCY_UNKNOWN, place, text)
    names_page = field.name in _NAMES_PAGES and field.name == read_schema(table).key[0]
    is_version = field.name == "protocol" and _VERSION_ENDING.search(text)
    if names_page and (text in _RESERVED or is_version):
        return found(FindingCode.NAME_RESERVED, place, text)
    return None


def is_date(text: str) -> bool:
    """Whether the text is a day of the calendar, written year-month-day."""
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


@cache
def currencies() -> frozenset[str]:
    """Codes of the currencies in use, ISO 4217 (without metals, funds and test codes)."""
    text = files("trialpress.intake").joinpath("currencies.txt").read_text("utf-8")
    return frozenset(text.split())
