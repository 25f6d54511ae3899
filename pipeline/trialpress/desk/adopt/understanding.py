"""From a row of a spreadsheet to a run.

In:  the rows of a sheet, the mapping and the catalogue.
Out: each row understood, or refused with its reason; nothing is invented.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator
from collections.abc import Mapping as Named
from dataclasses import dataclass

from trialpress.bench import TABLE_OF_READING
from trialpress.desk.adopt.catalogue import Catalogue
from trialpress.desk.adopt.cells import (
    STATUSES,
    CellError,
    has_decimal_commas,
    is_day_first,
    mixed_setups,
    moment,
    number,
    tells_setups_apart,
    words_against,
)
from trialpress.desk.adopt.formats import Mark
from trialpress.desk.adopt.mapping import TIME, Mapping, MatchedColumn, match_header
from trialpress.desk.adopt.spreadsheet import RawRow, Spreadsheet, Worksheet
from trialpress.intake import read_schema
from trialpress.intake.nearest import nearest

LOOK_FOR_HEADER = 20
VOIDED = (
    "adopted as void with the reason “{words}”: put valid into a column status if it counts, and "
    "adopt it anew"
)
INSTRUMENTS = ("instrument", "dose_instrument")


def _asked(machine: str, header: str, words: tuple[str, ...]) -> str:
    listed = ", ".join(word or "nothing" for word in words)
    return (
        f"{machine} has several set-ups here: {header} says {listed}. Write in the column of the "
        "machine which set-up each row is, or, where that column does not matter, say in "
        f"[values.setup] of the mapping which set-up {machine} is"
    )


@dataclass(frozen=True)
class Origin:
    """Where a row came from; ``digest`` and ``count`` name it wherever it moves in the file."""

    sheet: str
    row: int
    digest: str
    count: int

    @property
    def text(self) -> str:
        """The place for people."""
        return f"sheet {self.sheet}, row {self.row}" if self.sheet else f"row {self.row}"


@dataclass(frozen=True)
class UnderstoodRow:
    """A row as one of ours, but for what numbering adds; ``remarks`` say what stayed blank."""

    origin: Origin
    table: str
    cells: Named[str, str]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class RefusedRow:
    """A row that is not adopted, and why."""

    origin: Origin
    reason: str


@dataclass(frozen=True)
class ReadSheet:
    """One sheet: its header, what was made of its columns and rows. No header, no rows."""

    name: str
    header_row: int | None
    columns: tuple[MatchedColumn, ...]
    unused: tuple[str, ...]
    lacking: tuple[str, ...]
    is_comma: bool
    blank_rows: int
    marks: tuple[Mark, ...]
    rows: tuple[UnderstoodRow | RefusedRow, ...]


def understand(
    spreadsheet: Spreadsheet, mapping: Mapping, catalogue: Catalogue
) -> tuple[ReadSheet, ...]:
    """Make what can be made of every sheet, or of the one that the mapping names."""
    seen: Counter[str] = Counter()
    return tuple(
        _sheet(sheet, spreadsheet.separator, mapping, catalogue, seen)
        for sheet in spreadsheet.sheets
        if mapping.sheet in {None, sheet.name}
    )


def _sheet(
    sheet: Worksheet, separator: str, mapping: Mapping, catalogue: Catalogue, seen: Counter[str]
) -> ReadSheet:
    header = _header(sheet, mapping)
    if header is None:
        return ReadSheet(sheet.name, None, (), (), (), False, 0, (), ())
    body = [row for row in sheet.rows if row.number > header.number]
    rows = [row for row in body if not row.is_blank]
    reader = _Reader(header.cells, rows, separator, mapping, catalogue)
    return ReadSheet(
        sheet.name,
        header.number,
        reader.columns,
        tuple(reader.others.values()),
        tuple(header for name, header in mapping.columns.items() if name not in reader.names),
        reader.is_comma,
        len(body) - len(rows),
        tuple(mark for mark in sheet.marks if mark.row > header.number),
        tuple(reader.read(row, _origin(sheet, row, seen)) for row in rows),
    )


def _header(sheet: Worksheet, mapping: Mapping) -> RawRow | None:
    """The row that the mapping names, else the first with the most columns that are known."""
    if mapping.header_row is not None:
        return next((row for row in sheet.rows if row.number == mapping.header_row), None)
    candidates = sheet.rows[:LOOK_FOR_HEADER]
    best = max(candidates, key=lambda row: len(match_header(row.cells, mapping)), default=None)
    return best if best is not None and len(match_header(best.cells, mapping)) > 1 else None


def _origin(sheet: Worksheet, row: RawRow, seen: Counter[str]) -> Origin:
    text = "\x1f".join((sheet.name, *row.cells)).rstrip("\x1f")
    digest = hashlib.sha256(text.encode("utf-8")).hexdigest()[:16]
    seen[digest] += 1
    return Origin(sheet.name, row.number, digest, seen[digest])


class _Reader:
    """Reads the rows of one sheet, knowing what the sheet as a whole tells of its cells."""

    def __init__(
        self,
        header: tuple[str, ...],
        rows: list[RawRow],
        separator: str,
        mapping: Mapping,
        catalogue: Catalogue,
    ) -> None:
        self.mapping, self.catalogue = mapping, catalogue
        self.columns = columns = match_header(header, mapping)
        self.names = frozenset(column.name for column in columns)
        cells = {
            column.name: [row.cells[column.index] for row in rows if column.index < len(row.cells)]
            for column in columns
        }
        numbers = [text for name, texts in cells.items() if name in _NUMBERS for text in texts]
        guessed = separator == ";" or has_decimal_commas(numbers)
        self.is_comma = guessed if mapping.decimal is None else mapping.decimal == ","
        self.day_first = is_day_first(cells.get("at", []))
        used = {column.index for column in columns}
        self.others = {i: text for i, text in enumerate(header) if text and i not in used}
        self.mixed = self._mixed(rows)

    def _mixed(self, rows: list[RawRow]) -> Named[str, tuple[str, tuple[str, ...]]]:
        """Machines that have several set-ups here, unless the mapping says which one is meant."""
        typed = [dict(self._typed(row)).get("setup", "") for row in rows]
        cells = {
            text: [row.cells[i] if i < len(row.cells) else "" for row in rows]
            for i, text in self.others.items()
            if tells_setups_apart(text)
        }
        ours = set(self.mapping.values.get("setup", {}).values())
        mixed = mixed_setups([text.casefold() for text in typed], cells)
        return {
            name: found
            for name, found in mixed.items()
            if name in self.catalogue.machines
            and name not in {setup_name.casefold() for setup_name in ours}
        }

    def read(self, row: RawRow, origin: Origin) -> UnderstoodRow | RefusedRow:
        """Read one row."""
        try:
            return self._understood(row, origin)
        except CellError as error:
            return RefusedRow(origin, str(error))

    def _understood(self, row: RawRow, origin: Origin) -> UnderstoodRow:
        typed = {**self.mapping.fixed, **dict(self._typed(row))}
        cells = {"at": self._moment(typed), "setup": self._named(typed, "setup")}
        cells["protocol"] = self._named(typed, "protocol")
        version = self.catalogue.version_on(cells["protocol"], cells["at"][:10])
        if version is None:
            raise CellError(
                f"no version of {cells['protocol']} holds on {cells['at'][:10]}: add one to "
                "data/catalogue/protocols.csv, with its from_date and to_date"
            )
        cells["version"] = typed.get("version") or version.version
        if column := self.mixed.get(typed["setup"].casefold()):
            raise CellError(_asked(typed["setup"], *column))
        table = TABLE_OF_READING[version.reading]
        own = set(read_schema(table).columns) - set(cells)
        for name in (name for name in typed if name in own and typed[name]):
            unit = version.unit if name == "value" else None
            cells[name] = self._cell(name, table, typed[name], unit)
        counted = self._counted(row, cells)
        known, remarks = self._without_unknown_instruments({**cells, **counted})
        if "reason" in counted:
            remarks = (*remarks, VOIDED.format(words=counted["reason"]))
        return UnderstoodRow(origin, table, known, remarks)

    def _counted(self, row: RawRow, cells: Named[str, str]) -> dict[str, str]:
        """The status: as typed, else void where the row says in words that it does not count."""
        typed = cells.get("status", "")
        if typed in STATUSES:
            return {}
        beside = [row.cells[i] for i in self.others if i < len(row.cells)]
        words = words_against((typed, cells.get("reason", ""), cells.get("note", ""), *beside))
        if words is None:
            return {"status": typed or "valid"}
        return {"status": "void", "reason": " ".join(words.split())}

    def _typed(self, row: RawRow) -> Iterator[tuple[str, str]]:
        """The cells of a row by our names, with the mapping's words in place of theirs."""
        for column in self.columns:
            text = row.cells[column.index] if column.index < len(row.cells) else ""
            ours = self.mapping.values.get(column.name, {}).get(text, text)
            if ours:
                yield column.name, ours

    def _moment(self, typed: Named[str, str]) -> str:
        return moment(
            typed.get("at", ""),
            typed.get(TIME, ""),
            day_first=self.day_first,
            pattern=self.mapping.date_format,
        )

    def _named(self, typed: Named[str, str], column: str) -> str:
        """Our name of a set-up or protocol."""
        known = self.catalogue.setups if column == "setup" else self.catalogue.protocols
        text = typed.get(column, "")
        if not text:
            raise CellError(f"{column} is blank")
        if text.casefold() not in known:
            near = nearest(text.casefold(), frozenset(known))
            meant = f" (is {known[near]} meant?)" if near else ""
            raise CellError(
                f"{text} is no known {column}{meant}: say what it is in [values.{column}] "
                "of the mapping, or add it to the catalogue"
            )
        return known[text.casefold()]

    def _cell(self, name: str, table: str, text: str, of_protocol: str | None) -> str:
        field = read_schema(table).field(name)
        if field.type not in {"number", "integer"}:
            return " ".join(text.split())
        unit = next((column.unit for column in self.columns if column.name == name), None)
        ours = field.unit if field.unit == "g" else of_protocol if text.endswith("%") else None
        return number(text, comma=self.is_comma, unit=ours, header_unit=unit)

    def _without_unknown_instruments(
        self, cells: dict[str, str]
    ) -> tuple[dict[str, str], tuple[str, ...]]:
        """Instruments that the catalogue lacks stay blank: the uncertainty is unknown then."""
        remarks = tuple(
            f"{name} {cells[name]} is not in the catalogue and stays blank"
            for name in INSTRUMENTS
            if name in cells and cells[name] not in self.catalogue.instruments
        )
        known = {
            name: text
            for name, text in cells.items()
            if name not in INSTRUMENTS or text in self.catalogue.instruments
        }
        return known, remarks


_NUMBERS = frozenset(
    field.name
    for table in set(TABLE_OF_READING.values())
    for field in read_schema(table).fields
    if field.type in {"number", "integer"}
)
