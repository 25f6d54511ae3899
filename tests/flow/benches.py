"""Bench folders for whole runs: the small bench, and one whose hidden rows were taken out."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from trialpress.bench import Bench
from trialpress.desk.measured import measured_store
from trialpress.intake import read_bench
from trialpress.results import work_out
from trialpress.store import Store

SMALL = Path(__file__).parents[1] / "folders" / "base"
Row = dict[str, str]
Keys = dict[str, set[str]]
READING_TABLES = ("weighings", "values", "counts", "gradings")


def copy_of_small_bench(folder: Path) -> Path:
    shutil.copytree(SMALL, folder)
    return folder


@contextmanager
def open_results(bench: Bench, as_of: date) -> Iterator[Store]:
    """A store in memory with every result table, as of one date; nothing is written."""
    with measured_store(read_bench(bench, as_of), as_of) as store:
        work_out(store)
        yield store


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
    used = instruments_in_use(data)
    keys = delete_from_catalogue(data / "catalogue", as_of)
    for day in sorted((data / "days").iterdir()):
        if day.name[:10] > as_of:
            shutil.rmtree(day)
        else:
            delete_from_day(day, keys)
    delete_from_films(data, as_of, keys)
    gone = used - instruments_in_use(data)  # what has not been used yet stays
    keep_rows(data / "catalogue" / "instruments.csv", lambda row: row["instrument"] not in gone)
    keep_rows(
        data / "corrections.csv",
        lambda row: (
            row["corrected_on"] <= as_of
            and row["row"].split("|")[0] in keys.get(row["table"], set())
        ),
    )


def delete_from_catalogue(catalogue: Path, as_of: str) -> Keys:
    """Delete hidden rows of the catalogue; the keys that are left, by table."""
    setups = keep_rows(catalogue / "setups.csv", lambda row: row["publish_on"] <= as_of)
    machines = {row["machine"] for row in setups}
    seen = keep_rows(catalogue / "machines.csv", lambda row: row["machine"] in machines)
    makers = {row["maker"] for row in seen}
    keep_rows(catalogue / "makers.csv", lambda row: row["maker"] in makers)
    floors = {
        row["floor"]
        for row in keep_rows(catalogue / "floors.csv", lambda row: row["laid_on"] <= as_of)
    }
    protocols = keep_rows(
        catalogue / "protocols.csv",
        lambda row: row["from_date"] <= as_of and row["floor"] in floors,
    )
    keep_rows(
        catalogue / "claims.csv",
        lambda row: (
            row["stated_on"] <= as_of
            and row["machine"] in machines
            and row.get("setup", "") in {"", *(one["setup"] for one in setups)}
        ),
    )
    named = {row["protocol"] for row in protocols}
    for method in sorted((catalogue / "methods").glob("*.md")):
        if method.stem not in named:
            method.unlink()
    return {
        "setups": {row["setup"] for row in setups},
        "machines": machines,
        "versions": {f"{row['protocol']}|{row['version']}" for row in protocols},
    }


def delete_from_day(day: Path, keys: Keys) -> None:
    """Delete hidden runs and their photos from one day; add the runs left to the keys."""
    runs: set[str] = set()
    for table in READING_TABLES:
        if (day / f"{table}.csv").exists():
            kept = keep_rows(
                day / f"{table}.csv",
                lambda row: (
                    row["setup"] in keys["setups"]
                    and f"{row['protocol']}|{row['version']}" in keys["versions"]
                ),
            )
            keys.setdefault(table, set()).update(row["run"] for row in kept)
            runs |= {row["run"] for row in kept}
    if (day / "photos.csv").exists():
        keep_rows(day / "photos.csv", lambda row: row["run"] in runs)


def instruments_in_use(data: Path) -> set[str]:
    """The instruments that any row of any day names."""
    rows = [row for file in data.glob("days/*/*.csv") for row in keep_rows(file, lambda _: True)]
    return {row.get(column, "") for row in rows for column in ("instrument", "dose_instrument")}


def delete_from_films(data: Path, as_of: str, keys: Keys) -> None:
    """Delete hidden films, and marks in the others that lead to something hidden."""
    films = keep_rows(data / "films.csv", lambda row: row["published_on"] <= as_of)
    seen = {row["film"] for row in films}
    runs = set().union(*(keys.get(table, set()) for table in READING_TABLES))
    protocols = {version.partition("|")[0] for version in keys["versions"]}
    keep_rows(
        data / "film_marks.csv",
        lambda row: (
            row["film"] in seen
            and row["run"] in {"", *runs}
            and row["setup"] in {"", *keys["setups"]}
            and row["protocol"] in {"", *protocols}
        ),
    )


def files_below(folder: Path) -> dict[str, bytes]:
    """Every file and its bytes; the store alone may differ from build to build."""
    return {
        file.relative_to(folder).as_posix(): file.read_bytes()
        for file in sorted(folder.rglob("*"))
        if file.is_file() and file.name != "store.duckdb"
    }
