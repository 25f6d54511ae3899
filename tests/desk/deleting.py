"""Deleting from a random bench what may not be seen on a date.

It follows the words of the contract and shares no code with the store.
"""

from __future__ import annotations

import csv
import shutil
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from desk.random_benches import Row, write_rows

READINGS = ("weighings", "values")


def delete_hidden(bench: Path, as_of: str) -> None:
    """Delete what may not be seen on a date."""
    fixes = rows_of(bench / "data" / "corrections.csv")
    made = [fix for fix in fixes if fix["corrected_on"] <= as_of]
    made.sort(key=lambda fix: fix["corrected_on"])
    deletion = Deletion(bench / "data", as_of, made)
    named = deletion.named_in_rows()
    deletion.from_catalogue()
    deletion.from_days()
    deletion.from_films()
    deletion.from_corrections()
    deletion.from_histories()
    deletion.from_unnamed(named)


@dataclass
class Deletion:
    """What is left by table: keys, for versions of protocols the text of both columns."""

    data: Path
    as_of: str
    fixes: list[Row]
    left: dict[str, set[str]] = field(default_factory=dict)

    def from_catalogue(self) -> None:
        self.keep_in_catalogue("setups", lambda row: row["publish_on"] <= self.as_of)
        machines = self.named_now("setups", "machine")
        self.keep_in_catalogue("machines", lambda row: row["machine"] in machines)
        makers = self.named_now("machines", "maker")
        self.keep_in_catalogue("makers", lambda row: row["maker"] in makers)
        self.keep_in_catalogue("floors", lambda row: row["laid_on"] <= self.as_of)
        self.keep_in_catalogue(
            "protocols",
            lambda row: (
                row["from_date"] <= self.as_of
                and self.said("protocols", row, "floor")[-1] in {"", *self.left["floors"]}
            ),
        )
        self.keep_in_catalogue(
            "claims",
            lambda row: (
                row["stated_on"] <= self.as_of
                and set(self.said("claims", row, "machine")) <= self.left["machines"]
                and set(self.said("claims", row, "setup")) <= {"", *self.left["setups"]}
            ),
        )
        for method in sorted((self.data / "catalogue" / "methods").iterdir()):
            if method.stem not in self.left["protocols"]:
                method.unlink()

    def from_days(self) -> None:
        for day in self.days():
            if day.name[:10] > self.as_of:
                shutil.rmtree(day)
        versions = {
            (row["protocol"], row["version"])
            for row in rows_of(self.data / "catalogue" / "protocols.csv")
        }
        for table in READINGS:
            self.keep_in_days(table, partial(self.is_run_left, table, versions))
        runs = set().union(*(self.left[table] for table in READINGS))
        self.keep_in_days("photos", lambda row: set(self.said("photos", row, "run")) <= runs)

    def is_run_left(self, table: str, versions: set[tuple[str, str]], row: Row) -> bool:
        """Whether a run was never under a set-up or protocol version that is hidden."""
        state, states = dict(row), [row]
        for fix in self.fixes_of(table, row):
            state[fix["column"]] = fix["now"]
            states.append(dict(state))
        return all(
            each["setup"] in self.left["setups"] and (each["protocol"], each["version"]) in versions
            for each in states
        )

    def named_in_rows(self) -> dict[str, set[str]]:
        """Which soils and instruments the rows name that are there."""
        soils = {row["soil"] for row in rows_of(self.data / "catalogue" / "protocols.csv")}
        rows = [row for day in self.days() for row in rows_of(day / "weighings.csv")]
        columns = ("instrument", "dose_instrument")
        return {"soils": soils, "instruments": {row[column] for row in rows for column in columns}}

    def from_unnamed(self, before: dict[str, set[str]]) -> None:
        """Delete what only hidden rows named; what none has named yet stays."""
        left = self.named_in_rows()
        for table, names in before.items():
            gone = names - left[table]
            self.keep_in_catalogue(table, partial(is_first_not_in, gone))

    def from_films(self) -> None:
        self.keep("films", self.data / "films.csv", lambda row: row["published_on"] <= self.as_of)
        runs = set().union(*(self.left[table] for table in READINGS))
        self.keep(
            "film_marks",
            self.data / "film_marks.csv",
            lambda row: (
                row["film"] in self.left["films"]
                and row["run"] in {"", *runs}
                and row["setup"] in {"", *self.left["setups"]}
                and row["protocol"] in {"", *self.left["protocols"]}
            ),
        )

    def from_corrections(self) -> None:
        keys = self.left
        self.keep(
            "corrections",
            self.data / "corrections.csv",
            lambda row: (
                row["corrected_on"] <= self.as_of
                and row["row"].split("|")[0] in keys.get(row["table"], ())
            ),
        )

    def from_histories(self) -> None:
        """Begin the history of a cell after the last value that is hidden."""
        for table, column, named in (
            ("setups", "machine", "machines"),
            ("machines", "maker", "makers"),
            ("protocols", "floor", "floors"),
        ):
            file = self.data / "catalogue" / f"{table}.csv"
            rows = rows_of(file)
            for row in rows:
                fixes = [fix for fix in self.fixes_of(table, row) if fix["column"] == column]
                hidden = [fix for fix in fixes if fix["was"] not in self.left[named]]
                if hidden:
                    row[column] = hidden[-1]["now"]
                    self.forget(fixes[: fixes.index(hidden[-1]) + 1])
            if rows:
                write_rows(file, rows)

    def forget(self, fixes: list[Row]) -> None:
        self.keep("corrections", self.data / "corrections.csv", lambda row: row not in fixes)

    def fixes_of(self, table: str, row: Row) -> list[Row]:
        """The corrections of a row in the order they apply."""
        key = f"{row['protocol']}|{row['version']}" if table == "protocols" else first(row)
        return [fix for fix in self.fixes if (fix["table"], fix["row"]) == (table, key)]

    def said(self, table: str, row: Row, column: str) -> list[str]:
        """What a cell says as typed and after each correction by the date."""
        fixes = [fix for fix in self.fixes_of(table, row) if fix["column"] == column]
        return [row[column], *(fix["now"] for fix in fixes)]

    def named_now(self, table: str, column: str) -> set[str]:
        rows = rows_of(self.data / "catalogue" / f"{table}.csv")
        return {self.said(table, row, column)[-1] for row in rows}

    def keep_in_catalogue(self, table: str, is_kept: Callable[[Row], bool]) -> None:
        self.keep(table, self.data / "catalogue" / f"{table}.csv", is_kept)

    def keep_in_days(self, table: str, is_kept: Callable[[Row], bool]) -> None:
        self.left[table] = set()
        for day in self.days():
            self.keep(table, day / f"{table}.csv", is_kept)

    def keep(self, table: str, file: Path, is_kept: Callable[[Row], bool]) -> None:
        """Rewrite a file; the first column is the key."""
        rows = rows_of(file)
        kept = [row for row in rows if is_kept(row)]
        self.left.setdefault(table, set()).update(first(row) for row in kept)
        if kept:
            write_rows(file, kept)
        else:
            file.write_text(",".join(rows[0]) + "\n", encoding="utf-8")

    def days(self) -> list[Path]:
        return sorted((self.data / "days").iterdir())


def is_first_not_in(names: set[str], row: Row) -> bool:
    """Whether a row has none of these names."""
    return first(row) not in names


def first(row: Row) -> str:
    """The text in the first column."""
    return next(iter(row.values()))


def rows_of(file: Path) -> list[Row]:
    with file.open(encoding="utf-8", newline="") as opened:
        return list(csv.DictReader(opened))
