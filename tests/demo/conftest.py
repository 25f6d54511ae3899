"""The committed demo bench, read as plain CSV.

In:  ``data/`` of this repository.
Out: rows as typed, and valid runs with the corrections applied.
"""

from __future__ import annotations

import csv
from collections import defaultdict
from pathlib import Path

import pytest

from trialpress.intake import read_schema

DATA = Path(__file__).resolve().parents[2] / "data"


class DemoBench:
    """Rows of the committed demo, by table."""

    root = DATA

    def typed(self, table: str) -> list[dict[str, str]]:
        """Rows of one table as typed, blank where a file lacks the column; ``day`` is added."""
        rows = []
        for path in sorted(DATA.glob(f"**/{table}.csv")):
            blank = dict.fromkeys(read_schema(table).columns, "")
            with path.open(encoding="utf-8", newline="") as file:
                rows += [blank | row | {"day": path.parent.name} for row in csv.DictReader(file)]
        return rows

    def corrected(self, table: str) -> list[dict[str, str]]:
        """Rows of one table with every correction applied."""
        rows = self.typed(table)
        by_key = {"|".join(row[column] for column in read_schema(table).key): row for row in rows}
        for line in self.typed("corrections"):
            if line["table"] == table:
                assert by_key[line["row"]][line["column"]] == line["was"]
                by_key[line["row"]][line["column"]] = line["now"]
        return rows

    def valid(self, table: str) -> list[dict[str, str]]:
        """Rows of valid runs, corrected."""
        return [row for row in self.corrected(table) if row["status"] == "valid"]

    def runs(self) -> list[dict[str, str]]:
        """One row for every run of any kind, as typed."""
        tables = ("weighings", "values", "counts", "gradings")
        return list({row["run"]: row for table in tables for row in self.typed(table)}.values())

    def pickups_pct(self, protocol: str, version: str) -> dict[str, list[float]]:
        """What each set-up's container gained in a collected protocol, run by run."""
        found: dict[str, list[float]] = defaultdict(list)
        for row in self.valid("weighings"):
            if (row["protocol"], row["version"]) == (protocol, version):
                gain_g = float(row["gain_g"] or float(row["after_g"]) - float(row["before_g"]))
                found[row["setup"]].append(100 * gain_g / float(row["dose_g"]))
        return found


@pytest.fixture(scope="session")
def demo() -> DemoBench:
    """The committed demo bench."""
    return DemoBench()
