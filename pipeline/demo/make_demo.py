"""Write the demo bench: an invented tester, invented makers and machines, two years of runs.

In:  nothing but the tables in this folder and a seed.
Out: a bench folder's ``data/``, the same bytes each time.

Run as ``python pipeline/demo/make_demo.py``, with ``--into DIR`` for another bench folder.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from shutil import rmtree

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))  # so that `demo` is found as a script

from demo.cast import MACHINES, MAKERS
from demo.claims import claims
from demo.descriptors import BENCH_TOML, CATALOGUE_DESCRIPTOR, DAY_DESCRIPTORS
from demo.kit import FLOORS, INSTRUMENTS, SOILS
from demo.method_pages import method_pages
from demo.photos import Snapshot, snapshots
from demo.protocols import PROTOCOLS
from demo.readings import readings_of
from demo.rows import (
    Claim,
    Condition,
    Correction,
    Count,
    Floor,
    Grading,
    Instrument,
    Machine,
    Maker,
    Photo,
    Protocol,
    Published,
    Reading,
    Setup,
    Soil,
    Value,
    Weighing,
)
from demo.schedule import DAYS, BenchDay, conditions_of, schedule
from demo.setups import SETUPS
from demo.typing_errors import as_typed, corrections
from demo.writing import write_json, write_table, write_text

_REPOSITORY = Path(__file__).resolve().parents[2]
_READING_KINDS = {"weighings": Weighing, "values": Value, "counts": Count, "gradings": Grading}


def make_demo(root: Path) -> None:
    """Write ``data/`` into a bench folder; what an earlier run left there is removed first."""
    data = root / "data"
    rmtree(data / "days", ignore_errors=True)
    slots = schedule()
    readings = {slot.run: readings_of(slot) for slot in slots}
    _write_catalogue(data / "catalogue")
    photos = snapshots(slots, readings)
    for day in DAYS:
        of_day = [slot for slot in slots if slot.day is day]
        _write_day(data / "days" / day.folder, day, [r for s in of_day for r in readings[s.run]])
        _write_photos(data / "days" / day.folder, photos.get(day.folder, []))
    every_row = [row for slot in slots for row in readings[slot.run]]
    write_table(data / "corrections.csv", Correction, corrections(every_row))
    write_table(data / "published.csv", Published, ())
    write_text(data / "bench.toml", BENCH_TOML)


def _write_catalogue(folder: Path) -> None:
    write_json(folder / "datapackage.json", CATALOGUE_DESCRIPTOR)
    write_table(folder / "makers.csv", Maker, MAKERS)
    write_table(folder / "machines.csv", Machine, MACHINES)
    write_table(folder / "setups.csv", Setup, SETUPS)
    write_table(folder / "floors.csv", Floor, FLOORS)
    write_table(folder / "soils.csv", Soil, SOILS)
    write_table(folder / "instruments.csv", Instrument, INSTRUMENTS)
    write_table(folder / "protocols.csv", Protocol, PROTOCOLS)
    write_table(folder / "claims.csv", Claim, claims())
    for protocol, text in method_pages().items():
        write_text(folder / "methods" / f"{protocol}.md", text)


def _write_day(folder: Path, day: BenchDay, rows: Sequence[Reading]) -> None:
    for table, kind in _READING_KINDS.items():
        typed = [as_typed(row) for row in rows if isinstance(row, kind)]
        if typed:
            write_table(folder / f"{table}.csv", kind, typed)
    write_table(folder / "conditions.csv", Condition, conditions_of(day))
    if day.folder in DAY_DESCRIPTORS:
        write_json(folder / "datapackage.json", DAY_DESCRIPTORS[day.folder])


def _write_photos(folder: Path, photos: Sequence[Snapshot]) -> None:
    if not photos:
        return
    write_table(folder / "photos.csv", Photo, [photo.row for photo in photos])
    for photo in photos:
        path = folder / photo.row.file
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(photo.jpeg)


def _bench_folder() -> Path:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--into", type=Path, default=_REPOSITORY, metavar="DIR")
    folder: Path = parser.parse_args().into
    return folder


if __name__ == "__main__":
    make_demo(_bench_folder())
