"""Where each adopted row came from.

In:  ``data/adopted/provenance.csv``, and rows that are adopted.
Out: its lines. They are written before the rows: should the power go between, the next run finds
     the line, misses the row and writes it.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import asdict, dataclass, fields

from trialpress.bench import Bench
from trialpress.desk.adopt.spreadsheet import Spreadsheet
from trialpress.desk.append import append_rows
from trialpress.desk.replacing import replace_durably
from trialpress.desk.trial import ADOPTED
from trialpress.reach import place_below

FINGERPRINT = 12


@dataclass(frozen=True)
class Line:
    """One adopted row: what it is here, and what it was there.

    ``file`` is the file's name as it was given, ``kept`` its copy in ``data/adopted/``; ``digest``
    and ``count`` name the row by what it says, wherever it moves in the file.
    """

    table: str
    day: str
    row: str
    file: str
    kept: str
    sha256: str
    sheet: str
    source_row: str
    digest: str
    count: str

    @property
    def origin(self) -> tuple[str, str]:
        """What the row said, and the how manieth row that said it."""
        return (self.digest, self.count)

    @property
    def place(self) -> tuple[str, str, str]:
        """Where it stood."""
        return (self.file, self.sheet, self.source_row)


def read_provenance(bench: Bench) -> tuple[Line, ...]:
    """Read all lines so far."""
    file = bench.data / ADOPTED / "provenance.csv"
    if not file.exists():
        return ()
    with file.open(encoding="utf-8", newline="") as opened:
        return tuple(Line(**row) for row in csv.DictReader(opened))


def write_provenance(bench: Bench, lines: Sequence[Line]) -> None:
    """Append lines, durably."""
    columns = [field.name for field in fields(Line)]
    rows = [asdict(line) for line in lines]
    append_rows(bench.data / ADOPTED / "provenance.csv", columns, rows)


def kept_name(spreadsheet: Spreadsheet) -> str:
    """The name of the copy: the same file is kept once, a later state of it beside the former."""
    return f"{spreadsheet.sha256[:FINGERPRINT]}-{spreadsheet.file.name}"


def keep_original(bench: Bench, spreadsheet: Spreadsheet) -> None:
    """Copy the file, byte for byte."""
    place = place_below(bench.data / ADOPTED, kept_name(spreadsheet))
    replace_durably(place, spreadsheet.data)
