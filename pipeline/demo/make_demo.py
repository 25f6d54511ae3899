"""Write the demo bench: an invented tester, invented makers and machines, two years of runs.

In:  nothing but the tables in this folder and a seed.
Out: a bench folder's ``data/``, the same bytes each time.

Run as ``python pipeline/demo/make_demo.py``, with ``--into DIR`` for another bench folder.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from itertools import chain
from pathlib import Path
from shutil import rmtree

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))  # so that `demo` is found as a script

from demo.claims import claims
from demo.days import DAYS, BenchDay, conditions_of
from demo.equipment import FLOORS, INSTRUMENTS, SOILS
from demo.films import film_marks, films
from demo.incidents import as_typed, corrections, table_of
from demo.machines import MACHINES, MAKERS
from demo.photos import Snapshot, snapshots
from demo.protocols import PROTOCOLS, method_pages
from demo.readings import readings_of
from demo.rows import Reading
from demo.schedule import schedule
from demo.setups import SETUPS
from demo.writing import (
    BENCH_TOML,
    CATALOGUE_DESCRIPTOR,
    DAY_DESCRIPTORS,
    write_bytes,
    write_json,
    write_table,
    write_text,
)

_REPOSITORY = Path(__file__).resolve().parents[2]


def make_demo(root: Path) -> None:
    """Write ``data/`` into a bench folder; days that an earlier run left there are removed."""
    data = root / "data"
    rmtree(data / "days", ignore_errors=True)
    slots = schedule()
    readings = {slot.run: readings_of(slot) for slot in slots}
    photos = snapshots(slots, readings)
    for day in DAYS:
        folder = data / "days" / day.folder
        runs = [slot.run for slot in slots if slot.day is day]
        _write_day(folder, day, [row for run in runs for row in readings[run]])
        _write_photos(folder, photos.get(day.folder, ()))
    _write_catalogue(data / "catalogue")
    write_table(data / "corrections.csv", corrections(chain(*readings.values())))
    write_table(data / "films.csv", films())
    write_table(data / "film_marks.csv", film_marks())
    write_text(data / "published.csv", "url,since,moved_to\n")
    write_text(data / "bench.toml", BENCH_TOML)


def _write_catalogue(folder: Path) -> None:
    write_json(folder / "datapackage.json", CATALOGUE_DESCRIPTOR)
    write_table(folder / "makers.csv", MAKERS)
    write_table(folder / "machines.csv", MACHINES)
    write_table(folder / "setups.csv", SETUPS)
    write_table(folder / "floors.csv", FLOORS)
    write_table(folder / "soils.csv", SOILS)
    write_table(folder / "instruments.csv", INSTRUMENTS)
    write_table(folder / "protocols.csv", PROTOCOLS)
    write_table(folder / "claims.csv", claims())
    for protocol, text in method_pages().items():
        write_text(folder / "methods" / f"{protocol}.md", text)


def _write_day(folder: Path, day: BenchDay, rows: Sequence[Reading]) -> None:
    typed = [as_typed(row) for row in rows]
    for table in sorted({table_of(row) for row in typed}):
        write_table(folder / f"{table}.csv", [row for row in typed if table_of(row) == table])
    write_table(folder / "conditions.csv", conditions_of(day))
    if day.folder in DAY_DESCRIPTORS:
        write_json(folder / "datapackage.json", DAY_DESCRIPTORS[day.folder])


def _write_photos(folder: Path, photos: Sequence[Snapshot]) -> None:
    if photos:
        write_table(folder / "photos.csv", [photo.row for photo in photos])
    for photo in photos:
        write_bytes(folder / photo.row.file, photo.jpeg)


def _bench_folder() -> Path:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--into", type=Path, default=_REPOSITORY, metavar="DIR")
    folder: Path = parser.parse_args().into
    return folder


if __name__ == "__main__":
    make_demo(_bench_folder())
