"""Editions of the small bench, for tests: made, unpacked, and changed by somebody.

In:  the small bench, on a date.
Out: zips and folders; sums that are made to fit again.
"""

from __future__ import annotations

import hashlib
import json
from datetime import date
from pathlib import Path

from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.edition import make_edition
from trialpress.editions import Version, opened_archive

EARLY = date(2031, 5, 1)  # two-stock is under embargo
LATE = date(2031, 7, 1)


def bench_with_edition(bench: Path) -> None:
    """A copy of the small bench with an edition as of an early date."""
    make_edition(Bench(copy_of_small_bench(bench)), EARLY, Version.of("1.0.0"), lambda _: None)


def unpacked(file: Path, folder: Path) -> Path:
    with opened_archive(file) as archive:
        archive.unpack(folder)
    return folder


def change(file: Path, old: str, new: str) -> None:
    """Change one place in a text file."""
    text = file.read_text("utf-8")
    assert text.count(old) == 1, (old, text.count(old))
    file.write_text(text.replace(old, new), encoding="utf-8")


def seal(folder: Path) -> None:
    """Make every sum fit again, as somebody would who covers traces."""
    sums = folder / "SHA256SUMS"
    names = [line.partition("  ")[2] for line in sums.read_text("utf-8").splitlines()]
    lines = [
        f"{hashlib.sha256((folder / name).read_bytes()).hexdigest()}  {name}\n"
        for name in names
        if (folder / name).is_file()
    ]
    sums.write_text("".join(lines), encoding="utf-8")


def say_another_program_made_it(folder: Path) -> None:
    file = folder / "datapackage.json"
    package = json.loads(file.read_bytes())
    package["program"] = {"version": "0.0.9", "fingerprint": "0123456789ab"}
    file.write_text(json.dumps(package), encoding="utf-8")
