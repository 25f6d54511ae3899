"""From a row of a spreadsheet to a run.

In:  the rows of a sheet, the mapping and the catalogue.
Out: each row understood, or refused with all its reasons; nothing is invented.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Iterator
from collections.abc import Mapping as Named
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from trialpress.bench import TABLE_OF_READING
from trialpress.desk.adopt.catalogue import Catalogue, ProtocolVersion
from trialpress.desk.adopt.cells import (
    STATUSES,
    has_decimal_commas,
    mixed_setups,
    number,
    tells_setups_apart,
    words_against,
)
from trialpress.desk.adopt.dates import DateOrder, moment, order_of
from trialpress.desk.adopt.formats import Mark
from trialpress.desk.adopt.headers import MEASURED, TIME
from trialpress.desk.adopt.layout import PlainSheet, SpreadColumn, plain_sheet
from trialpress.desk.adopt.mapping import AS_PROTOCOL, Mapping, MatchedColumn, match_header
from trialpress.desk.adopt.obstacles import CellError, Obstacle, Origin, RefusalReason, RefusedRow
from trialpress.desk.adopt.spreadsheet import RawRow, Spreadsheet, Worksheet
from trialpress.intake import read_schema
from trialpress.intake.nearest import nearest

VOIDED = (
    "adopted as void with the reason “{words}”: put valid into a column status if it counts, and "
    "adopt it anew"
)
AS_RESULT = "a result whose readings were not noted"
AS_METHOD_SAYS = "dose as the method says"
Made = TypeVar("Made")
INSTRUMENTS = ("instrument", "dose_instrument")
READ_AS = {"weighings": "gain_g", "values": "value", "counts": "hits", "gradings": "grade"}
"""What a column holds that is called no more than by its protocol."""
READS = {"weighings": "masses", "counts": "counts"}
NAMED = 3
"""A row needs its date, its set-up and its protocol before anything else of it can be read."""
READINGS = {
    "weighings": ("gain_g", "after_g"),
    "values": ("value",),
    "counts": ("hits",),
    "gradings": ("grade",),
}


def _asked(machine: str, header: str, words: tuple[str, ...]) -> str:
    listed = ", ".join(word or "nothing" for word in words)
    return (
        f"{machine} has several set-ups here: {header} says {listed}. Write in the column of the "
        "machine which set-up each row is, or, where that column does not matter, say in "
        f"[values.setup] of the mapping which set-up {machine} is"
    )


@dataclass(frozen=True)
class UnderstoodRow:
    """A row as one of ours, but for what numbering adds; ``remarks`` say what stayed blank."""

    origin: Origin
    table: str
    cells: Named[str, str]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class ReadSheet:
    """One sheet: its header, what was made of its columns and rows. No header, no rows."""

    name: str
    header_row: int | None
    columns: tuple[MatchedColumn, ...] = ()
    spread: tuple[SpreadColumn, ...] = ()
    unused: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()
    is_comma: bool = False
    order: DateOrder | None = None
    blank_rows: int = 0
    totals: tuple[int, ...] = ()
    marks: tuple[Mark, ...] = ()
    rows: tuple[UnderstoodRow | RefusedRow, ...] = ()


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
    plain = plain_sheet(sheet, mapping)
    if plain is None:
        return ReadSheet(sheet.name, None)
    made = {plain.header[0], *(spread.content for spread in plain.spread)} if plain.spread else ()
    reader = _Reader(plain, separator, mapping, catalogue)
    return ReadSheet(
        name=sheet.name,
        header_row=plain.header_row,
        columns=tuple(column for column in reader.columns if column.header not in made),
        spread=plain.spread,
        unused=tuple(reader.others.values()),
        lacking=reader.lacking,
        is_comma=reader.is_comma,
        order=reader.order,
        blank_rows=plain.blank_rows,
        totals=tuple(row.number for row in plain.totals),
        marks=tuple(mark for mark in sheet.marks if mark.row > plain.header_row),
        rows=tuple(reader.read(row, _origin(sheet, row, seen)) for row in plain.rows),
    )


def _origin(sheet: Worksheet, row: RawRow, seen: Counter[str]) -> Origin:
    text = "\x1f".join((sheet.name, *row.cells)).rstrip("\x1f")
    digest = hashlib.sha256(text.encode("utf-8")).hexdigest()[:16]
    seen[digest] += 1
    return Origin(sheet.name, row.number, digest, seen[digest], row.part)


class _Reader:
    """Reads the rows of one sheet, knowing what the sheet as a whole tells of its cells."""

    def __init__(
        self, plain: PlainSheet, separator: str, mapping: Mapping, catalogue: Catalogue
    ) -> None:
        self.mapping, self.catalogue = mapping, catalogue
        self.columns = match_header(plain.header, mapping)
        cells = {c.name: [c.text(row) for row in plain.rows] for c in self.columns}
        numbers = [text for name, texts in cells.items() if name in _NUMBERS for text in texts]
        guessed = separator == ";" or has_decimal_commas(numbers)
        self.is_comma = guessed if mapping.decimal is None else mapping.decimal == ","
        self.order = mapping.date_order or order_of(cells.get("at", []))
        used = {index for column in self.columns for index in column.indexes}
        self.others = {i: text for i, text in enumerate(plain.header) if text and i not in used}
        self.mixed = self._mixed(plain.rows)
        known = {*cells, *(column.content for column in plain.spread)}
        self.lacking = tuple(text for name, text in mapping.columns.items() if name not in known)

    def _mixed(self, rows: tuple[RawRow, ...]) -> Named[str, tuple[str, tuple[str, ...]]]:
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
        trial = _Trial()
        typed = {**self.mapping.fixed, **dict(self._typed(row))}
        found = self._named_cells(typed, trial)
        version = trial.made(lambda: self._version(found, typed)) if len(found) == NAMED else None
        if version is None:
            return RefusedRow(origin, tuple(trial.reasons))
        table = TABLE_OF_READING[version.reading]
        typed, remarks = self._resolved(typed, version)
        cells = {**found, "protocol": version.protocol}
        cells["version"] = typed.get("version") or version.version
        own = set(read_schema(table).columns) - set(cells)
        for name in (name for name in typed if name in own and typed[name]):
            unit = version.unit if name == "value" else None
            made = trial.made(partial(self._cell, name, table, typed[name], unit))
            cells |= {name: made} if made is not None else {}
        counted = self._counted(row, cells)
        if counted.get("status") == "valid":
            trial.check(lambda: _refuse_doseless(table, cells))
        if trial.reasons:
            return RefusedRow(origin, tuple(trial.reasons))
        known, unknown = self._without_unknown_instruments({**cells, **counted})
        if "reason" in counted:
            unknown = (*unknown, VOIDED.format(words=counted["reason"]))
        return UnderstoodRow(origin, table, known, (*remarks, *unknown))

    def _named_cells(self, typed: Named[str, str], trial: _Trial) -> dict[str, str]:
        """When, with what and how a run was made: those of the three that are understood."""
        made = {
            "at": trial.made(lambda: self._moment(typed)),
            "setup": trial.made(lambda: self._setup(typed)),
            "protocol": trial.made(lambda: self._named(typed, "protocol")),
        }
        return {name: text for name, text in made.items() if text is not None}

    def _version(self, found: Named[str, str], typed: Named[str, str]) -> ProtocolVersion:
        """The version of the protocol; of the one that takes its results, where that is all."""
        version = self._version_on(found["protocol"], found["at"][:10])
        table = TABLE_OF_READING[version.reading]
        has_readings = any(typed.get(name) for name in READINGS[table])
        is_result = bool(typed.get("value")) or typed.get(MEASURED, "").endswith("%")
        if has_readings or not is_result or table in {"values", "gradings"}:
            return version
        kept_by = self.mapping.results.get(version.protocol)
        if kept_by is None:
            raise CellError(
                Obstacle.NO_READINGS,
                f"{version.protocol} reads {READS[table]}, and here are only its results: say in "
                f"[results] which protocol with the reading value keeps them, or add one",
                column="results",
                word=version.protocol,
            )
        return self._version_on(kept_by, found["at"][:10])

    def _version_on(self, protocol: str, day: str) -> ProtocolVersion:
        version = self.catalogue.version_on(protocol, day)
        if version is None:
            raise CellError(
                Obstacle.NO_VERSION,
                f"no version of {protocol} holds on {day}: add one to "
                "data/catalogue/protocols.csv, with its from_date and to_date",
                word=protocol,
            )
        return version

    def _resolved(
        self, typed: Named[str, str], version: ProtocolVersion
    ) -> tuple[dict[str, str], tuple[str, ...]]:
        """The cells with what depends on the protocol; marked in the note where it says less."""
        table = TABLE_OF_READING[version.reading]
        cells = {name: text for name, text in typed.items() if name != MEASURED}
        if text := typed.get(MEASURED):
            cells.setdefault(READ_AS[table], text)
        marks = []
        if version.protocol in self.mapping.results.values():
            cells.pop("instrument", None)  # of masses; the uncertainty of the result is unknown
            marks.append(AS_RESULT)
        if table == "weighings" and cells.get("dose_g") == AS_PROTOCOL:
            cells["dose_g"] = version.dose_g
            marks.append(AS_METHOD_SAYS)
        if marks:
            cells["note"] = "; ".join(filter(None, (cells.get("note", ""), *marks)))
        return cells, tuple(marks)

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
            text = column.text(row)
            ours = self.mapping.values.get(column.name, {}).get(text, text)
            if ours:
                yield column.name, ours

    def _moment(self, typed: Named[str, str]) -> str:
        return moment(
            typed.get("at", ""),
            typed.get(TIME, ""),
            order=self.order,
            patterns=self.mapping.date_format,
        )

    def _setup(self, typed: Named[str, str]) -> str:
        setup = self._named(typed, "setup")
        if column := self.mixed.get(typed["setup"].casefold()):
            sentence = _asked(typed["setup"], *column)
            raise CellError(Obstacle.SEVERAL_SETUPS, sentence, column="setup", word=typed["setup"])
        return setup

    def _named(self, typed: Named[str, str], column: str) -> str:
        """Our name of a set-up or protocol."""
        known = self.catalogue.setups if column == "setup" else self.catalogue.protocols
        text = typed.get(column, "")
        if not text:
            raise CellError(Obstacle.BLANK_NAME, f"{column} is blank", column=column)
        if text.casefold() not in known:
            near = nearest(text.casefold(), frozenset(known))
            meant = f" (is {known[near]} meant?)" if near else ""
            raise CellError(
                Obstacle.UNKNOWN_NAME,
                f"{text} is no known {column}{meant}: say what it is in [values.{column}] "
                "of the mapping, or add it to the catalogue",
                column=column,
                word=text,
            )
        return known[text.casefold()]

    def _cell(self, name: str, table: str, text: str, of_protocol: str | None) -> str:
        field = read_schema(table).field(name)
        if field.type not in {"number", "integer"}:
            return " ".join(text.split())
        unit = next((column.unit for column in self.columns if column.name == name), None)
        is_share = "%" in {text[-1:], unit}
        ours = field.unit if field.unit == "g" else of_protocol if is_share else None
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


class _Trial:
    """Makes the cells of one row, and collects why some cannot be made."""

    def __init__(self) -> None:
        self.reasons: list[RefusalReason] = []

    def made(self, make: Callable[[], Made]) -> Made | None:
        """What can be made, or None."""
        try:
            return make()
        except CellError as error:
            self.reasons.append(error.reason)
            return None

    def check(self, check: Callable[[], None]) -> None:
        """Note what a check says."""
        self.made(check)


def _refuse_doseless(table: str, cells: Named[str, str]) -> None:
    """A weighing without a dose says nothing, and no dose is made up for it."""
    if table == "weighings" and not cells.get("dose_g"):
        raise CellError(
            Obstacle.NO_DOSE,
            f"{cells['protocol']}: no dose: say it once, dose_g in [fixed], or "
            f'"{AS_PROTOCOL}" there where each run had the dose that its protocol says',
            column="dose_g",
            word=cells["protocol"],
        )


_NUMBERS = frozenset(
    field.name
    for table in set(TABLE_OF_READING.values())
    for field in read_schema(table).fields
    if field.type in {"number", "integer"}
)
