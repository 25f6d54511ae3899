"""The edition that comes with the demo is whole, small, and says the same in every format."""

from __future__ import annotations

import hashlib
import json
from datetime import date
from pathlib import Path

from demo_build import AS_OF, ROOT
from desk.editions import unpacked
from trialpress.bench import Bench
from trialpress.desk.verify.formats import format_differences, held_tables
from trialpress.desk.verify.means import mean_differences
from trialpress.editions import read_editions

LARGEST_BYTES = 1_000_000


def test_the_demos_edition_is_what_it_was(tmp_path: Path) -> None:
    """Its results are worked out anew by ``trialpress verify``, with the program that made it."""
    (edition,) = read_editions(Bench(ROOT), AS_OF)
    assert edition.size_bytes < LARGEST_BYTES
    assert read_editions(Bench(ROOT), date(2025, 6, 29)) == ()

    folder = unpacked(edition.file, tmp_path)
    for line in (folder / "SHA256SUMS").read_text("utf-8").splitlines():
        digest, _, name = line.partition("  ")
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest() == digest, name
    tables = held_tables(folder, json.loads((folder / "datapackage.json").read_bytes()))
    assert not list(format_differences(tables))
    assert not list(mean_differences(tables))
