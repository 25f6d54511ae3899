"""Names and days for runs that had none.

In:  rows that are understood, the runs that the bench has.
Out: the same rows with run and day folder.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from trialpress.bench import READING_TABLES
from trialpress.desk.adopt.provenance import Line
from trialpress.desk.adopt.understanding import Origin, Understood
from trialpress.intake import CheckedBench, read_schema


@dataclass(frozen=True)
class Numbered:
    """A row ready for its day's file."""

    origin: Origin
    table: str
    day: str
    cells: Mapping[str, str]

    @property
    def key(self) -> str:
        """The row's key, as corrections write it."""
        return "|".join(self.cells.get(column, "") for column in read_schema(self.table).key)


def number_runs(
    rows: Iterable[Understood], checked: CheckedBench, word: str, known: Iterable[Line]
) -> tuple[Numbered, ...]:
    """Give each row its day, and a run where it has none; a blank replicate follows from the time.

    Parameters
    ----------
    rows : iterable of Understood
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
        numbered.append(Numbered(row.origin, row.table, line.day if line else day, cells))
    return tuple(numbered)


def _run_key(row: Understood) -> tuple[str, ...]:
    """What the rows of one run share: gradings are several rows a run, all others are one."""
    if row.table != "gradings":
        return (row.origin.digest, str(row.origin.count))
    shared = ("run", "at", "setup", "protocol", "replicate")
    return tuple(row.cells.get(name, "") for name in shared)


class _Names:
    """Free names for runs, day by day."""

    def __init__(self, checked: CheckedBench, promised: Iterable[Line]) -> None:
        self.taken = {
            str(run) for table in READING_TABLES for run in checked.tables[table].as_typed["run"]
        } | {line.row.split("|")[0] for line in promised}
        self.count: Counter[str] = Counter()

    def free(self, day: str) -> str:
        """The next of ``<day>-01``, ``<day>-02`` … that no run has."""
        while True:
            self.count[day] += 1
            name = f"{day}-{self.count[day]:02}"
            if name not in self.taken:
                return name
