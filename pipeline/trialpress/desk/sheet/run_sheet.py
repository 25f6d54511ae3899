"""A run sheet: a day folder with planned rows.

In:  runs in the order to make them, and the name of the day.
Out: the rows, then the folder, whole or not at all. It is the record of the plan: how many runs
     are made is fixed before the first one.
"""

from __future__ import annotations

import secrets
import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trialpress.bench import READING_TABLES, TABLE_OF_READING, Bench
from trialpress.desk.append import append_rows
from trialpress.desk.replacing import NotKeptError, flush_folder
from trialpress.desk.sheet.draft import GRADER
from trialpress.errors import UsageError
from trialpress.intake import read_schema
from trialpress.intake.folder import date_of
from trialpress.paths import place_below
from trialpress.view.plans import Tally

COLUMNS: Mapping[str, tuple[str, ...]] = {
    "weighings": (
        *("instrument", "dose_g", "dose_by", "dose_instrument"),
        *("before_g", "after_g", "blank_g", "soil_lot", "operator"),
    ),
    "values": ("instrument", "value", "operator"),
    "counts": ("hits", "tries", "operator"),
    "gradings": ("grade",),
}


class DayNameError(UsageError):
    """The name of a sheet is no name for a day."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"--sheet {name} is no name for a day. "
            "Write a date and a word, such as 2026-03-02-hall."
        )


class DayTakenError(UsageError):
    """There is such a day already."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"data/days/{name} is there already and stays as it is. Choose another word."
        )


class NothingToPlanError(UsageError):
    """There is no run to put on a sheet."""

    def __init__(self) -> None:
        super().__init__(
            "There is no run to put on a sheet. Add set-ups to data/catalogue/setups.csv, "
            "or ask with --settle or --separate what further runs would be worth."
        )


@dataclass(frozen=True)
class PlannedRun:
    """One run to make."""

    run: str
    at: str
    tally: Tally


@dataclass(frozen=True)
class RunSheet:
    """An evening's runs in order; ``note`` says in every row what they are for."""

    day: str
    runs: tuple[PlannedRun, ...]
    note: str


def make_sheet(day: str, order: Sequence[Tally], note: str) -> RunSheet:
    """Name the runs of an evening; their replicate numbers follow when they are made.

    Raises
    ------
    DayNameError
        If ``day`` is no date and word.
    NothingToPlanError
        If there is no run.
    """
    on = date_of(day)
    if on is None:
        raise DayNameError(day)
    if not order:
        raise NothingToPlanError
    runs = (
        PlannedRun(f"{day}-{count:02}", on.isoformat(), tally)
        for count, tally in enumerate(order, start=1)
    )
    return RunSheet(day, tuple(runs), note)


def check_free(bench: Bench, day: str) -> None:
    """Refuse a day that is there already, in whatever state.

    Raises
    ------
    DayTakenError
        If there is such a folder.
    """
    if (bench.days / day).exists():
        raise DayTakenError(day)


def write_sheet(bench: Bench, sheet: RunSheet) -> None:
    """Write the day folder of a sheet.

    Raises
    ------
    DayTakenError
        If there is such a day already; it stays as it is.
    NotKeptError
        If the disk refuses; there is no new day then.
    """
    check_free(bench, sheet.day)
    place = place_below(bench.days, sheet.day)
    hidden = f".{sheet.day}.{secrets.token_hex(8)}.new"  # intake passes over it
    new = place_below(bench.days, hidden)
    try:
        for table in READING_TABLES:
            rows = [row for run in sheet.runs for row in _rows(run, sheet.note, table)]
            if rows:
                append_rows(new / f"{table}.csv", _columns(table), rows)
        new.rename(place)
        flush_folder(bench.days)
    except OSError as error:
        raise NotKeptError(place, error) from error
    finally:
        shutil.rmtree(new, ignore_errors=True)


def _columns(table: str) -> tuple[str, ...]:
    """The columns that an evening fills, in the order of the schema."""
    always = {"at", "setup", "protocol", "version", "clip", "status", "reason", "note"}
    wanted = always.union(COLUMNS[table], read_schema(table).key)
    return tuple(column for column in read_schema(table).columns if column in wanted)


def _rows(run: PlannedRun, note: str, table: str) -> list[dict[str, str]]:
    """The rows of one run: one, or one a zone where it is graded."""
    if TABLE_OF_READING[run.tally.reading] != table:
        return []
    row = {
        "run": run.run,
        "at": run.at,
        "setup": run.tally.setup,
        "protocol": run.tally.protocol,
        "version": str(run.tally.version),
        "status": "planned",
        "note": note,
    }
    if table != "gradings":
        return [row]
    zones = range(1, (run.tally.zones or 1) + 1)
    return [{**row, "zone": f"zone-{zone}", "grader": GRADER} for zone in zones]
