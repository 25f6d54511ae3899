"""The mapping: which column of a spreadsheet is which of ours.

In:  a mapping file in TOML, or none.
Out: ``Mapping``; what it does not say is guessed from the header by known names.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping as Named
from dataclasses import dataclass, field, fields
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from trialpress.bench import READING_TABLES
from trialpress.errors import UsageError
from trialpress.intake import read_schema
from trialpress.intake.nearest import nearest
from trialpress.ordinary_file import read_ordinary

TIME = "time"
MOST_BYTES = 2**20
_UNIT = re.compile(r"[(\[]([^)\]]*)[)\]]|,\s*(mg|g|kg)$")
_WORD = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


class MappingFileError(UsageError):
    """The mapping file cannot be understood."""

    def __init__(self, file: Path, reason: str) -> None:
        super().__init__(f"{file}: {reason}. Mend it and run the command again.")


@dataclass(frozen=True)
class Mapping:
    """What the mapping file says.

    ``columns`` gives the header for each of our columns, ``fixed`` text for all rows, ``values``
    our text for theirs by column, ``units`` the unit a column of masses is in. ``header_row`` is
    the row of the header; ``word`` names the day folders.
    """

    word: str = "adopted"
    sheet: str | None = None
    header_row: int | None = None
    encoding: str | None = None
    decimal: str | None = None
    date_format: str | None = None
    columns: Named[str, str] = field(default_factory=dict)
    fixed: Named[str, str] = field(default_factory=dict)
    values: Named[str, Named[str, str]] = field(default_factory=dict)
    units: Named[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class MatchedColumn:
    """One of our columns: where it stands in the sheet, counted from 0, and in what unit."""

    name: str
    index: int
    header: str
    unit: str | None


@cache
def our_columns() -> tuple[str, ...]:
    """All columns of all reading tables, and the time where it stands by itself."""
    names = [name for table in READING_TABLES for name in read_schema(table).columns]
    return (*dict.fromkeys(names), TIME)


def read_mapping(file: Path | None) -> Mapping:
    """Read a mapping file; without one nothing is mapped.

    Raises
    ------
    MappingFileError
        If it is no TOML, or says something that is not known.
    """
    if file is None:
        return Mapping()
    try:
        content = tomllib.loads(read_ordinary(file, most=MOST_BYTES).decode())
    except OSError as error:
        raise MappingFileError(file, f"cannot be opened: {error.strerror or error}") from error
    except (ValueError, RecursionError) as error:
        raise MappingFileError(file, f"is no TOML: {error}") from error
    _check_names(file, content)
    return Mapping(
        **{key: _as_text(value) for key, value in content.items() if key != "header_row"},
        header_row=content.get("header_row"),
    )


def _check_names(file: Path, content: Named[str, Any]) -> None:
    keys = [key.name for key in fields(Mapping)]
    _check(file, content, keys, "key")
    for part in ("columns", "fixed", "values", "units"):
        if not isinstance(content.get(part, {}), dict):
            raise MappingFileError(file, f"{part} must be a section: [{part}]")
        _check(file, content.get(part, {}), our_columns(), f"column in [{part}]")
    if not _WORD.fullmatch(str(content.get("word", "adopted"))):
        raise MappingFileError(file, "word takes lower-case letters, digits and -")
    if content.get("decimal", ".") not in {".", ","}:
        raise MappingFileError(file, 'decimal is "." or ","')
    if not isinstance(content.get("header_row", 1), int):
        raise MappingFileError(file, "header_row is the number of a row")


def _check(file: Path, content: Named[str, Any], known: object, what: str) -> None:
    names = frozenset(str(name) for name in known)  # type: ignore[attr-defined]
    for name in content:
        if name not in names:
            near = nearest(name, names)
            meant = f"; is {near} meant?" if near else ""
            raise MappingFileError(file, f"there is no {what} called {name}{meant}")


def _as_text(value: Any) -> Any:  # noqa: ANN401  TOML holds anything
    """Numbers and truth values as our tables have them: text."""
    if isinstance(value, dict):
        return {str(key): _as_text(item) for key, item in value.items()}
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)


def match_header(cells: tuple[str, ...], mapping: Mapping) -> tuple[MatchedColumn, ...]:
    """Our columns in a header row: those mapped, then those whose name is known."""
    found: dict[str, MatchedColumn] = {}
    taken: set[int] = set()
    plain = [_plain(cell) for cell in cells]
    for name, header in mapping.columns.items():
        for index, cell in enumerate(cells):
            if _plain(header) == plain[index] and name not in found:
                found[name] = MatchedColumn(name, index, cell, _unit(name, cell, mapping))
                taken.add(index)
    for index, cell in enumerate(cells):
        known = _aliases().get(plain[index])
        free = known is not None and known not in found and known not in mapping.fixed
        if known is not None and free and index not in taken and known not in mapping.columns:
            found[known] = MatchedColumn(known, index, cell, _unit(known, cell, mapping))
    return tuple(sorted(found.values(), key=lambda column: column.index))


def _unit(name: str, header: str, mapping: Mapping) -> str | None:
    match = _UNIT.search(header)
    return mapping.units.get(name) or ((match and (match[1] or match[2])) or None)


def _plain(header: str) -> str:
    """A header for comparing: lower case, without units, words parted by one space."""
    return " ".join(re.findall(r"\w+", _UNIT.sub(" ", header).casefold().replace("_", " ")))


@cache
def _aliases() -> dict[str, str]:
    """Our column by what it may be called; run names are mapped by hand or not at all."""
    text = files("trialpress.desk.adopt").joinpath("aliases.toml").read_text(encoding="utf-8")
    names = {alias: name for name, known in tomllib.loads(text).items() for alias in known}
    for table in READING_TABLES:
        for column in read_schema(table).fields:
            names[_plain(column.name)] = column.name
            names[_plain(column.title)] = column.name
    return {alias: name for alias, name in names.items() if name != "run"}
