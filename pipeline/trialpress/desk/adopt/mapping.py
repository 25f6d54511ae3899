"""The mapping: which column of a spreadsheet is which of ours.

In:  a mapping file in TOML, or none.
Out: ``Mapping``; what it does not say is guessed from the header by known names.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping as Named
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from trialpress.desk.adopt.dates import DateOrder
from trialpress.desk.adopt.headers import known_headers, plain_header, unit_in
from trialpress.desk.adopt.mapping_faults import MappingFileError, check_mapping
from trialpress.desk.adopt.spreadsheet import RawRow
from trialpress.ordinary_file import read_ordinary

UNDECIDED = "?"
"""What ``adopt --start`` writes where only the tester knows; it says nothing."""
AS_PROTOCOL = "protocol"
"""As a fixed dose: the one that the protocol says."""
MOST_BYTES = 2**20
JOIN = " + "
TEXTS = ("word", "sheet", "encoding", "decimal")


@dataclass(frozen=True)
class Wide:
    """A wide table: ``columns`` gives the word of our column ``becomes`` for theirs."""

    becomes: str
    columns: Named[str, str]


@dataclass(frozen=True)
class Mapping:
    """What the mapping file says.

    ``columns`` gives the header for each of our columns, ``joined`` the headers that make up one,
    ``fixed`` text for all rows, ``values`` our text for theirs by column, ``units`` the unit a
    column of masses is in, ``results`` the protocol with reading value that takes the results of
    another one whose readings were not noted. ``header_row`` is the first row of the header, which
    has ``header_rows``; ``fill_down`` are columns whose blank cells mean the one above; ``ignore``
    are headers of columns that mean nothing; ``word`` names the day folders.
    """

    word: str = "adopted"
    sheet: str | None = None
    header_row: int | None = None
    header_rows: int = 1
    encoding: str | None = None
    decimal: str | None = None
    date_format: tuple[str, ...] = ()
    date_order: DateOrder | None = None
    fill_down: tuple[str, ...] = ()
    ignore: tuple[str, ...] = ()
    columns: Named[str, str] = field(default_factory=dict)
    joined: Named[str, tuple[str, ...]] = field(default_factory=dict)
    wide: Wide | None = None
    fixed: Named[str, str] = field(default_factory=dict)
    values: Named[str, Named[str, str]] = field(default_factory=dict)
    units: Named[str, str] = field(default_factory=dict)
    results: Named[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class MatchedColumn:
    """One of our columns: where its parts stand in the sheet, counted from 0, and in what unit."""

    name: str
    indexes: tuple[int, ...]
    header: str
    unit: str | None

    def text(self, row: RawRow) -> str:
        """What a row has there."""
        return " ".join(text for i in self.indexes for text in row.cells[i : i + 1] if text)


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
    return mapping_of(file, content)


def mapping_of(file: Path, content: Named[str, Any]) -> Mapping:
    """What a mapping file of that content says; what is not decided in it is left out.

    Raises
    ------
    MappingFileError
        If it says something that is not known.
    """
    content = _decided(content)
    check_mapping(file, content)
    headers = content.get("columns", {})
    joined = {JOIN.join(h): tuple(map(str, h)) for h in headers.values() if isinstance(h, list)}
    patterns = content.get("date_format", [])
    wide = content.get("wide")
    text = {key: _as_text(content[key]) for key in TEXTS if key in content}
    sections = {key: _as_text(content.get(key, {})) for key in ("fixed", "values", "units")}
    return Mapping(
        **text,
        **sections,
        **{key: content[key] for key in ("header_row", "header_rows") if key in content},
        date_format=tuple(map(str, patterns if isinstance(patterns, list) else [patterns])),
        date_order=DateOrder(content["date_order"]) if "date_order" in content else None,
        fill_down=tuple(map(str, content.get("fill_down", []))),
        ignore=tuple(map(str, content.get("ignore", []))),
        columns={
            name: JOIN.join(map(str, header)) if isinstance(header, list) else str(header)
            for name, header in headers.items()
        },
        joined=joined,
        wide=Wide(str(wide["becomes"]), _as_text(wide.get("columns", {}))) if wide else None,
        results=_as_text(content.get("results", {})),
    )


def _decided(content: Named[str, Any]) -> dict[str, Any]:
    """A mapping without what says that it is not decided."""
    return {
        key: _decided(value) if isinstance(value, dict) else value
        for key, value in content.items()
        if value != UNDECIDED
    }


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
    plain = [plain_header(cell) for cell in cells]
    for name, header in mapping.columns.items():
        parts = [plain_header(part) for part in mapping.joined.get(header, (header,))]
        if all(part in plain for part in parts):
            indexes = tuple(plain.index(part) for part in parts)
            text = JOIN.join(cells[i] for i in indexes)
            found[name] = MatchedColumn(name, indexes, text, _unit(name, text, mapping))
    taken = {index for column in found.values() for index in column.indexes}
    taken |= {index for index, cell in enumerate(cells) if cell in mapping.ignore}
    for index, cell in enumerate(cells):
        known = known_headers().get(plain[index])
        free = known is not None and known not in found and known not in mapping.fixed
        if known is not None and free and index not in taken and known not in mapping.columns:
            found[known] = MatchedColumn(known, (index,), cell, _unit(known, cell, mapping))
    return tuple(sorted(found.values(), key=lambda column: column.indexes))


def _unit(name: str, header: str, mapping: Mapping) -> str | None:
    return mapping.units.get(name) or unit_in(header)
