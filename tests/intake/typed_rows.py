"""Rows for the tests of single rules, typed as a tester would.

In:  the cells that matter to a test; the rest are filled in with something that is right.
Out: records, and the facts the rules are told.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from trialpress.bench import TABLES
from trialpress.intake.rows import Faults, Record, Row
from trialpress.intake.rules.records import BenchRecords, gather_records
from trialpress.intake.schemas import read_schema

DAY = "2031-03-02-hall"
_RIGHT = {
    "instruments": {"instrument": "balance", "quantity": "mass", "unit": "g", "resolution": "0.1"},
    "protocols": {
        "protocol": "pickup",
        "version": "1",
        "title": "Dust on a rug",
        "reading": "collected",
        "floor": "rug",
        "dose_g": "20",
        "dose_tolerance_g": "0.5",
        "unit": "%",
        "better": "higher",
        "min_runs": "3",
        "matters": "2",
        "from_date": "2031-01-01",
        "continues": "false",
        "in_overall": "1",
    },
    "weighings": {
        "run": "hall-01",
        "at": "2031-03-02T19:00",
        "setup": "one-stock",
        "protocol": "pickup",
        "version": "1",
        "replicate": "1",
        "instrument": "balance",
        "dose_g": "20.0",
        "dose_by": "reading",
        "dose_instrument": "balance",
        "status": "valid",
    },
    "values": {
        "run": "hall-21",
        "at": "2031-03-02T19:00",
        "setup": "one-stock",
        "protocol": "noise",
        "version": "1",
        "value": "71.4",
        "status": "valid",
    },
    "gradings": {
        "run": "hall-11",
        "zone": "left",
        "grader": "ann",
        "at": "2031-03-02T19:00",
        "setup": "one-stock",
        "protocol": "stains",
        "version": "1",
        "replicate": "1",
        "grade": "1",
        "status": "valid",
    },
}


def typed_row(table: str, number: int = 2, *, day: str | None = DAY, **cells: str | None) -> Row:
    """One row of a table; cells that are not given are right, or blank where they may be."""
    filled = dict.fromkeys(read_schema(table).columns) | _RIGHT[table] | cells
    if table in ("instruments", "protocols"):
        return Row(table, f"data/catalogue/{table}.csv", number, None, None, filled)
    day_date = date.fromisoformat(str(day)[:10])
    return Row(table, f"data/days/{day}/{table}.csv", number, day, day_date, filled)


def records_of(*rows: Row, as_of: date | None = None, faults: Faults | None = None) -> BenchRecords:
    """What the rules are told of these rows."""
    tables: dict[str, Sequence[Row]] = {
        table: [row for row in rows if row.table == table] for table in TABLES
    }
    return gather_records(tables, faults or {}, Path("data/days"), as_of)


def numbers(records: Sequence[Record]) -> list[int]:
    """The row numbers of records, as a spreadsheet shows them."""
    return [record.row.number for record in records]
