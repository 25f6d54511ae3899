"""The published tables of a built site, as a reader who downloads them would read them."""

from __future__ import annotations

import csv
from pathlib import Path

Row = dict[str, str]


def read_results(site: Path, table: str) -> list[Row]:
    with (site / "dataset" / "results" / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def plain(text: str) -> str:
    """Text of a page with the minus sign and spaces that a CSV has."""
    return text.replace("\N{MINUS SIGN}", "-").replace("\N{NO-BREAK SPACE}", " ")
