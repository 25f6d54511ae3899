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
    deletion = Deletion(bench / "data", as_of, [f for f in fixes if f["corrected_on"] <= as_of])
    deletion.from_catalogue()
    deletion.from_days()
    deletion.from_corrections()


@dataclass
class Deletion:
    """What is left by table: keys, for versions of protocols the text of both columns."""

    data: Path
    as_of: str
    fixes: list[Row]
    left: dict[str, set[str]] = field(default_factory=dict)

    def from_catalogue(self) -> None:
        self.keep_in_catalogue("setups", lambda row: row["publish_on"] <= self.as_of)
        machines = {row["machine"] for row in rows_of(self.data / "catalogue" / "setups.csv")}
        self.keep_in_catalogue("machines", lambda row: row["machine"] in machines)
        makers = {row["maker"] for row in rows_of(self.data / "catalogue" / "machines.csv")}
        self.keep_in_catalogue("makers", lambda row: row["maker"] in makers)
        self.keep_in_catalogue("floors", lambda row: row["laid_on"] <= self.as_of)
        self.keep_in_catalogue(
            "protocols",
            lambda row: row["from_date"] <= self.as_of and row["floor"] in self.left["floors"],
        )
        self.keep_in_catalogue(
            "claims",
            lambda row: (
                row["stated_on"] <= self.as_of
                and self.ever_said("claims", row, "machine") <= self.left["machines"]
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
        self.keep_in_days("photos", lambda row: self.ever_said("photos", row, "run") <= runs)

    def is_run_left(self, table: str, versions: set[tuple[str, str]], row: Row) -> bool:
        has_setup = self.ever_said(table, row, "setup") <= self.left["setups"]
        return has_setup and (row["protocol"], row["version"]) in versions

    def from_corrections(self) -> None:
        keys = self.left
        self.keep(
            "corrections",
            self.data / "corrections.csv",
            lambda row: (
                row["corrected_on"] <= self.as_of and row["row"] in keys.get(row["table"], ())
            ),
        )

    def ever_said(self, table: str, row: Row, column: str) -> set[str]:
        """What a cell says as typed and after each correction by the date."""
        own = (table, next(iter(row.values())), column)
        later = [fix for fix in self.fixes if (fix["table"], fix["row"], fix["column"]) == own]
        return {row[column], *(fix["now"] for fix in later)}

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
        self.left.setdefault(table, set()).update(next(iter(row.values())) for row in kept)
        if kept:
            write_rows(file, kept)
        else:
            file.write_text(",".join(rows[0]) + "\n", encoding="utf-8")

    def days(self) -> list[Path]:
        return sorted((self.data / "days").iterdir())


def rows_of(file: Path) -> list[Row]:
    with file.open(encoding="utf-8", newline="") as opened:
        return list(csv.DictReader(opened))
