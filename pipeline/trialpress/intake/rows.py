"""One row of one table: as text, and with the types that rules look at.

In:  a row's cells by column, as typed or as corrected, and the cells known to be at fault.
Out: ``Row``, which knows where it stands and what its key is; ``Record``, one class a table, where
     numbers are decimals with the digits that were typed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from typing import ClassVar, TypeVar

from trialpress.bench import DAY_TABLES
from trialpress.intake.findings import Place
from trialpress.intake.schemas import read_schema

Faults = Mapping[tuple[str, int], frozenset[str | None]]
"""The columns at fault of each row, by file and number; None stands for the row as a whole."""


@dataclass(frozen=True)
class Row:
    """One row of a file; every column of its table has a cell, ``None`` where it is blank.

    ``number`` is the row as a spreadsheet shows it. ``day`` and ``day_date`` come from the name of
    the day's folder.
    """

    table: str
    file: str
    number: int
    day: str | None
    day_date: date | None
    cells: Mapping[str, str | None]

    @property
    def key(self) -> tuple[str | None, ...]:
        """The text of the key columns."""
        return self.texts(read_schema(self.table).key)

    def texts(self, columns: tuple[str, ...]) -> tuple[str | None, ...]:
        """The text of some columns."""
        return tuple([self.cells[column] for column in columns])

    def place(self, column: str | None = None) -> Place:
        """Where the row, or one of its cells, stands."""
        return Place(self.file, self.number, column)


Tables = Mapping[str, Sequence[Row]]
"""The rows of every table of a bench by its name."""


@dataclass(frozen=True, kw_only=True)
class Record:
    """One row of a table; the fields of its kinds are the table's columns they are named after."""

    table: ClassVar[str]
    row: Row

    def place(self, column: str | None = None) -> Place:
        """Where the row, or one of its cells, stands."""
        return self.row.place(column)

    def text(self, column: str) -> str | None:
        """A cell as it was typed, or last corrected."""
        return self.row.cells[column]

    def has(self, column: str) -> bool:
        """Whether the cell is filled in, be it with something that is at fault."""
        return self.row.cells[column] is not None


@dataclass(frozen=True, kw_only=True)
class FloorRecord(Record):
    """A test floor and when it lay."""

    table = "floors"
    floor: str
    laid_on: date | None
    lifted_on: date | None


@dataclass(frozen=True, kw_only=True)
class InstrumentRecord(Record):
    """An instrument and the smallest step it shows."""

    table = "instruments"
    instrument: str
    unit: str
    resolution: Decimal
    calibration_u: Decimal | None


@dataclass(frozen=True, kw_only=True)
class ProtocolRecord(Record):
    """A version of a protocol."""

    table = "protocols"
    protocol: str
    version: int
    reading: str
    kinds: str | None
    floor: str | None
    dose_g: Decimal | None
    dose_tolerance_g: Decimal | None
    clean_limit: int | None
    zones: int | None
    unit: str
    better: str
    matters: Decimal
    least: Decimal | None
    most: Decimal | None
    from_date: date
    to_date: date | None
    continues: bool
    in_overall: Decimal


@dataclass(frozen=True, kw_only=True)
class ClaimRecord(Record):
    """A figure from a spec sheet."""

    table = "claims"
    machine: str
    setup: str | None
    quantity: str
    unit: str


@dataclass(frozen=True, kw_only=True)
class DatedRecord(Record):
    """A row of a bench day that says when something was noted."""

    at: str

    @property
    def day(self) -> date:
        """The date the row counts on: that of its day's folder."""
        if self.row.day_date is None:
            raise ValueError(self.row)
        return self.row.day_date


@dataclass(frozen=True, kw_only=True)
class ConditionRecord(DatedRecord):
    """The air in the room."""

    table = "conditions"


@dataclass(frozen=True, kw_only=True)
class PhotoRecord(Record):
    """A photo of a run."""

    table = "photos"
    run: str
    file: str


@dataclass(frozen=True, kw_only=True)
class RunRecord(DatedRecord):
    """What the rows of all four reading tables share."""

    run: str
    setup: str
    protocol: str
    version: int
    replicate: int | None
    status: str
    reason: str | None

    @property
    def is_valid(self) -> bool:
        """Whether it counts."""
        return self.status == "valid"

    @property
    def is_planned(self) -> bool:
        """Whether it is still to be made."""
        return self.status == "planned"

    @property
    def is_void(self) -> bool:
        """Whether it was made and does not count."""
        return self.status == "void"


@dataclass(frozen=True, kw_only=True)
class WeighingRecord(RunRecord):
    """A run whose reading is a mass."""

    table = "weighings"
    instrument: str | None
    dose_g: Decimal | None
    dose_by: str | None
    dose_instrument: str | None
    before_g: Decimal | None
    after_g: Decimal | None
    gain_g: Decimal | None
    blank_g: Decimal | None


@dataclass(frozen=True, kw_only=True)
class ValueRecord(RunRecord):
    """A run whose reading is a single figure."""

    table = "values"
    instrument: str | None
    value: Decimal | None


@dataclass(frozen=True, kw_only=True)
class CountRecord(RunRecord):
    """A run whose reading is hits out of tries."""

    table = "counts"
    hits: int | None
    tries: int | None


@dataclass(frozen=True, kw_only=True)
class GradingRecord(RunRecord):
    """One grader's grade of one zone in a run."""

    table = "gradings"
    zone: str
    grader: str
    grade: int | None


AnyRecord = TypeVar("AnyRecord", bound=Record)
_READERS: Mapping[str, Callable[[str], object]] = {
    "string": str,
    "integer": int,
    "number": Decimal,
    "date": date.fromisoformat,
    "boolean": "true".__eq__,
}


def read_records(
    kind: type[AnyRecord], rows: Iterable[Row], faults: Faults
) -> tuple[AnyRecord, ...]:
    """Give the rows of one table their types.

    Parameters
    ----------
    kind : type
        Which of the records.
    rows : iterable of Row
        Rows of ``kind.table``.
    faults : mapping of (file, row) to columns
        Cells with an error. A row is left out where one of them must be filled in; elsewhere such
        a cell counts as filled in, but has no value.
    """
    wanted = {field.name for field in fields(kind)}
    columns = [field for field in read_schema(kind.table).fields if field.name in wanted]
    readers = [(field.name, _READERS[field.type]) for field in columns]
    read = []
    for row in rows:
        if is_usable(row, faults):
            cells, at_fault = row.cells, faults.get((row.file, row.number), frozenset())
            values = {
                name: None if (text := cells[name]) is None or name in at_fault else parse(text)
                for name, parse in readers
            }
            read.append(kind(row=row, **values))
    return tuple(read)


def is_usable(row: Row, faults: Faults) -> bool:
    """Whether every cell that must be filled in is right, and the row stands in a dated day."""
    required = read_schema(row.table).required
    is_whole = None not in row.texts(required)  # a column may be missing from the file
    has_day = row.day_date is not None or row.table not in DAY_TABLES
    at_fault = faults.get((row.file, row.number), frozenset())
    return has_day and is_whole and at_fault.isdisjoint((*required, None))
