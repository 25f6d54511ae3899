"""What is wrong with a mapping file.

In:  the file and its content as TOML has it.
Out: nothing, or ``MappingFileError`` with what to mend.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from collections.abc import Mapping as Named
from pathlib import Path
from typing import Any

from trialpress.desk.adopt.dates import DateOrder
from trialpress.desk.adopt.headers import our_columns
from trialpress.errors import UsageError
from trialpress.intake.nearest import nearest

BECOMES = ("protocol", "replicate", "zone", "grader", "setup")
"""Our columns that the columns of a wide table can become."""
SECTIONS = ("columns", "fixed", "values", "units")
KEYS = (
    *("word", "sheet", "header_row", "header_rows", "encoding", "decimal", "date_format"),
    *("date_order", "fill_down", "ignore", *SECTIONS, "wide", "results"),
)
MOST_HEADER_ROWS = 5
_WORD = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


class MappingFileError(UsageError):
    """The mapping file cannot be understood."""

    def __init__(self, file: Path, reason: str) -> None:
        super().__init__(f"{file}: {reason}. Mend it and run the command again.")


def check_mapping(file: Path, content: Named[str, Any]) -> None:
    """Refuse what is not known, or is of another kind than it has to be.

    Raises
    ------
    MappingFileError
        With the first of it.
    """
    _check_known(file, content, KEYS, "key")
    for part in (*SECTIONS, "results", "wide"):
        if not isinstance(content.get(part, {}), dict):
            raise MappingFileError(file, f"{part} must be a section: [{part}]")
    for part in SECTIONS:
        _check_known(file, content.get(part, {}), our_columns(), f"column in [{part}]")
    for name, words in content.get("values", {}).items():
        if not isinstance(words, dict):
            raise MappingFileError(file, f"values.{name} must be a section: [values.{name}]")
    _check_single_keys(file, content)
    _check_wide(file, content.get("wide"))
    _check_texts(file, content)


def _check_single_keys(file: Path, content: Named[str, Any]) -> None:
    orders = [order.value for order in DateOrder]
    for key, is_right, sentence in (
        ("word", lambda word: _WORD.fullmatch(str(word)), "takes lower-case letters, digits and -"),
        ("decimal", lambda mark: mark in {".", ","}, 'is "." or ","'),
        ("header_row", lambda row: type(row) is int and row > 0, "is the number of a row"),
        (
            "header_rows",
            lambda rows: type(rows) is int and 1 <= rows <= MOST_HEADER_ROWS,
            f"is how many rows the header has, 1 to {MOST_HEADER_ROWS}",
        ),
        ("date_order", lambda order: order in orders, f"is one of {', '.join(orders)}"),
        ("ignore", lambda headers: isinstance(headers, list), 'is a list of headers, as ["Mood"]'),
        (
            "fill_down",
            lambda names: isinstance(names, list) and all(n in our_columns() for n in names),
            'is a list of our columns, as ["at"]',
        ),
    ):
        if key in content and not is_right(content[key]):
            raise MappingFileError(file, f"{key} {sentence}")


def _check_wide(file: Path, wide: Named[str, Any] | None) -> None:
    if wide is None:
        return
    _check_known(file, wide, ("becomes", "columns"), "key in [wide]")
    if wide.get("becomes") not in BECOMES:
        raise MappingFileError(file, f"becomes in [wide] is one of {', '.join(BECOMES)}")
    if not isinstance(wide.get("columns", {}), dict):
        raise MappingFileError(file, "columns of [wide] must be a section: [wide.columns]")


def _check_texts(file: Path, content: Named[str, Any]) -> None:
    """Where a text belongs, no list and no section stands; a name may be out of several headers."""
    sections = {key: content.get(key, {}) for key in ("columns", "fixed", "units", "results")}
    sections |= {f"values.{name}": words for name, words in content.get("values", {}).items()}
    sections["wide.columns"] = content.get("wide", {}).get("columns", {})
    texts = [(key, content[key]) for key in ("sheet", "encoding") if key in content]
    for section, words in sections.items():
        for name, value in words.items():
            parts = value if section == "columns" and isinstance(value, list) else [value]
            texts += [(f"{name} in [{section}]", part) for part in parts]
    for key, text in texts:
        if not isinstance(text, str | int | float):
            raise MappingFileError(file, f"{key} is a text")


def _check_known(file: Path, content: Named[str, Any], known: Iterable[str], what: str) -> None:
    names = frozenset(known)
    for name in content:
        if name not in names:
            near = nearest(name, names)
            meant = f"; is {near} meant?" if near else ""
            raise MappingFileError(file, f"there is no {what} called {name}{meant}")
