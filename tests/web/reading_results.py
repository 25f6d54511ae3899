"""The published tables of a built site, as a reader who downloads them would read them."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from functools import cache
from pathlib import Path

Row = dict[str, str]


@cache
def read_results(site: Path, table: str) -> Sequence[Row]:
    """The rows of a table, read once: built sites do not change."""
    with (site / "dataset" / "results" / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def plain(text: str) -> str:
    """Text of a page with the minus sign and spaces that a CSV has."""
    return text.replace("\N{MINUS SIGN}", "-").replace("\N{NO-BREAK SPACE}", " ")


def verdict_words(row: Row, series: Row) -> str:
    """What a page says of a published comparison, worked out from its interval."""
    if row["relation"] != "cannot tell" or not row["low"]:
        return row["relation"] + (
            ", by less than matters" if row["by_less_than_matters"] == "true" else ""
        )
    ends = float(row["low"]), float(row["high"])
    matters = float(series["matters"])
    best, worst = (ends[1], ends[0]) if series["better"] == "higher" else (-ends[0], -ends[1])
    if best > matters and worst < -matters:
        return "cannot tell; could matter either way"
    if best > matters:
        return "cannot tell; could be better by what matters"
    return "cannot tell; could be worse by what matters"
