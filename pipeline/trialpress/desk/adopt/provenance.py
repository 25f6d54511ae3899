"""Where each adopted row came from, and where it goes: its day and its run's name.

In:  ``data/adopted/provenance.csv``, rows that are understood, the runs that the bench has.
Out: the same rows with run and day folder, and a line of provenance for each.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, fields

from trialpress.bench import READING_TABLES, Bench
from trialpress.desk.adopt.obstacles import Origin
from trialpress.desk.adopt.spreadsheet import Spreadsheet
from trialpress.desk.adopt.understanding import UnderstoodRow
from trialpress.desk.append import append_rows, read_table_text
from trialpress.desk.bench_copy import ADOPTED
from trialpress.desk.replacing import replace_durably
from trialpress.intake import CheckedBench, read_schema
from trialpress.paths import place_below

FINGERPRINT = 12


@dataclass(frozen=True)
class AdoptedRow:
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


@dataclass(frozen=True)
class NumberedRow:
    """A row ready for its day's file."""

    origin: Origin
    table: str
    day: str
    cells: Mapping[str, str]

    @property
    def key(self) -> str:
        """The row's key, as corrections write it."""
        return "|".join(self.cells.get(column, "") for column in read_schema(self.table).key)


def read_provenance(bench: Bench) -> tuple[AdoptedRow, ...]:
    """Read all lines so far."""
    table = read_table_text(bench.data / ADOPTED / "provenance.csv")
    if table is None:
        return ()
    records = table.records[1 : table.end]
    # A spreadsheet that saved the file may have taken blank cells off the end of its lines.
    blank = {field.name: "" for field in fields(AdoptedRow)}
    return tuple(
        AdoptedRow(**{**blank, **dict(zip(table.columns, cells, strict=False))})
        for cells in records
    )


def write_provenance(bench: Bench, lines: Sequence[AdoptedRow]) -> None:
    """Append lines, durably."""
    columns = [field.name for field in fields(AdoptedRow)]
    rows = [asdict(line) for line in lines]
    append_rows(bench.data / ADOPTED / "provenance.csv", columns, rows)


def kept_name(spreadsheet: Spreadsheet) -> str:
    """The name of the copy: the same file is kept once, a later state of it beside the former."""
    return f"{spreadsheet.sha256[:FINGERPRINT]}-{spreadsheet.file.name}"


def keep_original(bench: Bench, spreadsheet: Spreadsheet) -> None:
    """Copy the file, byte for byte."""
    place = place_below(bench.data / ADOPTED, kept_name(spreadsheet))
    replace_durably(place, spreadsheet.data)


def number_runs(
    rows: Iterable[UnderstoodRow], checked: CheckedBench, word: str, known: Iterable[AdoptedRow]
) -> tuple[NumberedRow, ...]:
    """Give each row its day, and a run where it has none; a blank replicate follows from the time.

    Parameters
    ----------
    rows : iterable of UnderstoodRow
        Those to adopt.
    checked : CheckedBench
        The bench as it is; its numbers go on.
    word : str
        Of the day folders.
    known : iterable of Line
        Provenance of rows that a power cut lost: they get the run they were promised.
    """
    promised = {line.origin: line for line in known}
    names = _Names(checked, promised.values())
    given: dict[tuple[str, ...], dict[str, str]] = {}
    numbered = []
    for row in sorted(rows, key=lambda row: (row.cells["at"], row.origin.sheet, row.origin.row)):
        day = f"{row.cells['at'][:10]}-{word}"
        line = promised.get((row.origin.digest, str(row.origin.count)))
        own = given.setdefault(_run_key(row), {})
        if not own:
            own["run"] = line.row.split("|")[0] if line else row.cells.get("run") or names.free(day)
        cells = {**row.cells, **own}
        numbered.append(NumberedRow(row.origin, row.table, line.day if line else day, cells))
    return tuple(numbered)


def _run_key(row: UnderstoodRow) -> tuple[str, ...]:
    """What the rows of one run share: gradings are several rows a run, all others are one."""
    if row.table != "gradings":
        return (row.origin.digest, str(row.origin.count))
    shared = ("run", "at", "setup", "protocol", "replicate")
    return tuple(row.cells.get(name, "") for name in shared)


class _Names:
    """Free names for runs, day by day."""

    def __init__(self, checked: CheckedBench, promised: Iterable[AdoptedRow]) -> None:
        self.taken = {
            str(row.cells["run"])
            for table in READING_TABLES
            for row in checked.tables[table].as_typed
        } | {line.row.split("|")[0] for line in promised}
        self.count: Counter[str] = Counter()

    def free(self, day: str) -> str:
        """The next of ``<day>-01``, ``<day>-02`` … that no run has."""
        while True:
            self.count[day] += 1
            name = f"{day}-{self.count[day]:02}"
            if name not in self.taken:
                return name
