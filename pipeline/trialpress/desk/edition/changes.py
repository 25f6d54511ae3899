"""What changed from one edition to the next, and how far that goes.

In:  two dataset folders, the earlier and the later.
Out: ``Changes``: new columns and rules, rows added and gone, values corrected with their reasons,
     values typed anew, standings that moved; the step in the version number that tells of them.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import duckdb

from trialpress.bench import TABLES
from trialpress.dataset.parquet_rows import unshared_rows
from trialpress.dataset.settings_file import SETTINGS_FILE
from trialpress.dataset.tables import AS_TYPED, RESULTS
from trialpress.editions import Step
from trialpress.intake.textfile import named_rows

RULES = ("confidence", "currency", "overall", "single_runs", "time_zone", "top_n")
"""Settings that decide figures."""
LOOKING_BACK = frozenset({"movements", "movement_spans"})
_TRACE = frozenset({"source_file", "source_row"})
_MEANING = ("name", "type", "format", "unit", "constraints")
Row = Mapping[str, str]
Key = tuple[str, ...]


@dataclass(frozen=True)
class RowCount:
    """How many rows a table gained, lost, or has with cells that were typed anew."""

    table: str
    added: int
    gone: int
    retyped: int


@dataclass(frozen=True)
class CorrectedValue:
    """One corrected value, with the reason."""

    table: str
    row: str
    column: str
    was: str
    now: str
    why: str


@dataclass(frozen=True)
class Move:
    """A set-up whose place in a series changed; None where it had or has none."""

    protocol: str
    version: str
    setup: str
    before: int | None
    now: int | None


@dataclass(frozen=True)
class Changes:
    """Everything that changed.

    ``forms`` are tables whose columns or rules changed, ``rules`` settings that decide figures.
    """

    forms: tuple[str, ...]
    rules: tuple[str, ...]
    rows: tuple[RowCount, ...]
    corrected: tuple[CorrectedValue, ...]
    moves: tuple[Move, ...]
    results: tuple[str, ...]

    @property
    def step(self) -> Step | None:
        """How far the changes go; None where nothing changed.

        Rows that are gone go as far as columns that are: what somebody counted on is not there.
        """
        if self.forms or self.rules or any(count.gone for count in self.rows):
            return Step.MAJOR
        if any(count.added for count in self.rows):
            return Step.MINOR
        has_new_values = self.corrected or self.results or any(c.retyped for c in self.rows)
        return Step.PATCH if has_new_values else None


def changes_between(before: Path, now: Path) -> Changes:
    """What changed from one dataset folder to another."""
    return Changes(
        forms=tuple(_changed_forms(before, now)),
        rules=tuple(_changed_rules(before, now)),
        rows=tuple(count for table in TABLES if (count := _row_count(before, now, table))),
        corrected=tuple(_corrected(before, now)),
        moves=tuple(_moves(before, now)),
        results=tuple(_changed_results(before, now)),
    )


def rows_of(folder: Path, table: str, kind: str = AS_TYPED) -> list[dict[str, str]]:
    """The rows of a table of a dataset; none where it has no such table as text."""
    file = folder / kind / f"{table}.csv"
    if not file.is_file():
        return []
    return named_rows(file.read_bytes().decode("utf-8"))[1]


def _changed_forms(before: Path, now: Path) -> Iterator[str]:
    old, new = _forms(before), _forms(now)
    for table in sorted({*old, *new}):
        if old.get(table) != new.get(table):
            yield table


def _forms(folder: Path) -> dict[str, list[dict[str, Any]]]:
    """The columns of every table as far as programs go by them; words may change."""
    schemas = (
        json.loads(file.read_bytes()) for file in sorted((folder / "schemas").glob("*.json"))
    )
    return {
        schema["name"]: [
            {key: field[key] for key in _MEANING if key in field} for field in schema["fields"]
        ]
        for schema in schemas
    }


def _changed_rules(before: Path, now: Path) -> Iterator[str]:
    old, new = (tomllib.loads((f / SETTINGS_FILE).read_text("utf-8")) for f in (before, now))
    return (key for key in RULES if old.get(key) != new.get(key))


def _row_count(before: Path, now: Path, table: str) -> RowCount | None:
    old, new = _keyed(before, table), _keyed(now, table)
    count = RowCount(
        table=table,
        added=len(new.keys() - old.keys()),
        gone=len(old.keys() - new.keys()),
        retyped=sum(_typed(old[key]) != _typed(new[key]) for key in old.keys() & new.keys()),
    )
    is_of_corrections = table == "corrections" and not count.gone and not count.retyped
    is_nothing = not (count.added or count.gone or count.retyped)
    return None if is_of_corrections or is_nothing else count


def _keyed(folder: Path, table: str) -> dict[Key, dict[str, str]]:
    file = folder / "schemas" / f"{table}.json"
    if not file.is_file():
        return {}
    key = json.loads(file.read_bytes())["primaryKey"]
    return {tuple(row[column] for column in key): row for row in rows_of(folder, table)}


def _typed(row: Row) -> dict[str, str]:
    """What was typed in a row, wherever it stands."""
    return {column: cell for column, cell in row.items() if column not in _TRACE}


def _corrected(before: Path, now: Path) -> Iterator[CorrectedValue]:
    old = _keyed(before, "corrections")
    for key, row in _keyed(now, "corrections").items():
        if key not in old:
            yield CorrectedValue(
                row["table"], row["row"], row["column"], row["was"], row["now"], row["why"]
            )


def _moves(before: Path, now: Path) -> Iterator[Move]:
    old, new = _places(before), _places(now)
    for key in sorted({*old, *new}):
        if old.get(key) != new.get(key):
            yield Move(*key, before=old.get(key), now=new.get(key))


def _places(folder: Path) -> dict[tuple[str, str, str], int]:
    return {
        (row["protocol"], row["version"], row["setup"]): int(row["place"])
        for row in rows_of(folder, "standings", RESULTS)
        if row["place"]
    }


def _changed_results(before: Path, now: Path) -> Iterator[str]:
    """Result tables that are not the same, but those that look back from a date.

    Text is compared byte for byte, what is Parquet alone by its rows.
    """
    tables = {file.stem for file in (now / RESULTS).iterdir()}
    for table in sorted(tables - LOOKING_BACK):
        name = f"{RESULTS}/{table}"
        old, new = before / f"{name}.csv", now / f"{name}.csv"
        if new.is_file():
            is_same = old.is_file() and old.read_bytes() == new.read_bytes()
        else:
            is_same = _have_same_rows(before, now, table)
        if not is_same:
            yield table


def _have_same_rows(before: Path, now: Path, table: str) -> bool:
    schema = json.loads((now / "schemas" / f"{table}.json").read_bytes())
    columns = [field["name"] for field in schema["fields"]]
    old, new = (folder / RESULTS / f"{table}.parquet" for folder in (before, now))
    try:
        return not any(unshared_rows(old, new, columns, schema["primaryKey"]))
    except duckdb.Error:  # it was not there before, or had other columns
        return False
