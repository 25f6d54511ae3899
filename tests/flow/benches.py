"""Bench folders for whole runs: the small bench, and one whose hidden rows were taken out."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Callable
from pathlib import Path

SMALL = Path(__file__).parents[1] / "folders" / "base"
Row = dict[str, str]


def copy_of_small_bench(folder: Path) -> Path:
    shutil.copytree(SMALL, folder)
    return folder


def keep_rows(file: Path, keep: Callable[[Row], bool]) -> list[Row]:
    """Rewrite a CSV file with some of its rows, and give those back."""
    with file.open(encoding="utf-8", newline="") as source:
        reader = csv.DictReader(source)
        columns, rows = reader.fieldnames or [], list(reader)
    kept = [row for row in rows if keep(row)]
    with file.open("w", encoding="utf-8", newline="") as target:
        writer = csv.DictWriter(target, columns, lineterminator="\n")
        writer.writeheader()
        writer.writerows(kept)
    return kept


def delete_hidden(bench: Path, as_of: str) -> None:
    """Take out of a bench what may not be seen on a date, by the words of the contract alone."""
    data = bench / "data"
    catalogue = data / "catalogue"

    def later(day: str) -> bool:
        return day > as_of

    setups = keep_rows(catalogue / "setups.csv", lambda row: not later(row["publish_on"]))
    seen = {row["setup"] for row in setups}
    machines = keep_rows(
        catalogue / "machines.csv", lambda row: row["machine"] in {s["machine"] for s in setups}
    )
    keep_rows(catalogue / "makers.csv", lambda row: row["maker"] in {m["maker"] for m in machines})
    floors = keep_rows(catalogue / "floors.csv", lambda row: not later(row["laid_on"]))
    protocols = keep_rows(
        catalogue / "protocols.csv",
        lambda row: (
            not later(row["from_date"]) and row["floor"] in {one["floor"] for one in floors}
        ),
    )
    versions = {(row["protocol"], row["version"]) for row in protocols}
    keep_rows(
        catalogue / "claims.csv",
        lambda row: (
            not later(row["stated_on"]) and row["machine"] in {m["machine"] for m in machines}
        ),
    )
    keys = {"setups": seen, "machines": {m["machine"] for m in machines}}
    for day in sorted((data / "days").iterdir()):
        if later(day.name[:10]):
            shutil.rmtree(day)
            continue
        runs: set[str] = set()
        for table in ("weighings", "values", "counts", "gradings"):
            if (day / f"{table}.csv").exists():
                kept = keep_rows(
                    day / f"{table}.csv",
                    lambda row: (
                        row["setup"] in seen and (row["protocol"], row["version"]) in versions
                    ),
                )
                runs |= {row["run"] for row in kept}
                keys.setdefault(table, set())
                keys[table] |= {row["run"] for row in kept}
        if (day / "photos.csv").exists():
            keep_rows(day / "photos.csv", lambda row, runs=runs: row["run"] in runs)  # type: ignore[misc]
    keep_rows(
        data / "corrections.csv",
        lambda row: (
            not later(row["corrected_on"])
            and row["row"].split("|")[0] in keys.get(row["table"], set())
        ),
    )
    for method in sorted((catalogue / "methods").glob("*.md")):
        if method.stem not in {protocol for protocol, _ in versions}:
            method.unlink()


def files_below(folder: Path) -> dict[str, bytes]:
    """Every file and its bytes; the store alone may differ from build to build."""
    return {
        file.relative_to(folder).as_posix(): file.read_bytes()
        for file in sorted(folder.rglob("*"))
        if file.is_file() and file.name != "store.duckdb"
    }
