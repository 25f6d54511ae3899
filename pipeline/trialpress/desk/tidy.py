"""Files as a spreadsheet wrote them, rewritten in the house form.

In:  table files whose cells are spelled or separated in another way that has one meaning.
Out: what would change, line by line; then the files in the house form, each original kept beside
     the data. A file that has the house form already is not touched, nor is one with cells that can
     mean two things.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from trialpress.bench import Bench
from trialpress.desk.append import record_text, replace_durably
from trialpress.errors import UsageError
from trialpress.intake import Finding
from trialpress.intake.csvfile import Reading, read_records, read_table_file
from trialpress.intake.folder import TableFile, list_bench
from trialpress.intake.nearest import meant
from trialpress.reach import place_below

KEPT = "tidied"


class NoSuchTableFileError(UsageError):
    """The bench has no table file of that name."""

    def __init__(self, name: str, known: Sequence[str]) -> None:
        super().__init__(
            f"{name} is no table file of this bench. {meant(name, known)}"
            "Name it as findings do, such as data/catalogue/machines.csv."
        )


@dataclass(frozen=True)
class Tidied:
    """One file that would change; ``finding`` says why it cannot be, where it cannot."""

    name: str
    path: Path
    before: str
    after: str
    findings: tuple[Finding, ...]

    @property
    def difference(self) -> tuple[str, ...]:
        """The lines that change, those of before with a minus, those of after with a plus."""
        lines = difflib.ndiff(self.before.splitlines(), self.after.splitlines())
        return tuple(line for line in lines if line.startswith(("- ", "+ ")))


def tidy(bench: Bench, names: Sequence[str]) -> tuple[Tidied, ...]:
    """Find the files that are not in the house form; nothing is written.

    Parameters
    ----------
    bench : Bench
        The bench.
    names : sequence of str
        Files as findings name them, such as ``data/catalogue/machines.csv``; none means all.

    Raises
    ------
    NoSuchTableFileError
        If there is no such file.
    """
    files = {file.name: file for file in list_bench(bench).tables}
    for name in names:
        if name not in files:
            raise NoSuchTableFileError(name, list(files))
    wanted = [files[name] for name in names] if names else list(files.values())
    return tuple(one for file in wanted if (one := _tidied(file)) is not None)


def write_tidied(bench: Bench, files: Iterable[Tidied]) -> tuple[tuple[str, str], ...]:
    """Write the house form, the original first; the caller holds the bench's lock.

    Returns
    -------
    tuple of (str, str)
        The files written and where their originals are, both relative to the bench.

    Raises
    ------
    NotKeptError
        If the disk refuses; the file is as it was.
    """
    written = []
    for file in files:
        kept = _free_place(bench, file.name)
        replace_durably(kept, file.path.read_bytes())
        replace_durably(place_below(bench.root, file.name), file.after.encode("utf-8"))
        written.append((file.name, bench.name_of(kept)))
    return tuple(written)


def _free_place(bench: Bench, name: str) -> Path:
    """Where an original goes: never in the place of an earlier one, and not among the data."""
    stem = name.replace("/", "--").removesuffix(".csv")
    places = (place_below(bench.root, f"{KEPT}/{stem}-{number}.csv") for number in count(1))
    return next(place for place in places if not place.exists())


def _tidied(file: TableFile) -> Tidied | None:
    reading = read_records(file)
    if reading is None or not _differs(file, reading):
        return None
    return Tidied(
        file.name,
        file.path,
        reading.text,
        _house_text(file, reading),
        tuple(read_table_file(file).findings),
    )


def _differs(file: TableFile, reading: Reading) -> bool:
    """Whether any cell, or what stands between them, is not in the house form."""
    if reading.delimiter != "," or (reading.records and not any(reading.records[-1])):
        return True
    return any(was != now for was, now in _pairs(file, reading))


def _pairs(file: TableFile, reading: Reading) -> Iterable[tuple[list[str], list[str]]]:
    """Each row of cells as typed and in the house form."""
    rows = {row.number: row for row in read_table_file(file).rows}
    header = [cell.strip() for cell in reading.records[0]]
    for number, cells in enumerate(reading.records[1:], 2):
        row = rows.get(number)
        if row is not None and any(cells):
            known = dict(row.cells)
            yield (
                list(cells),
                [
                    (known[name] or "") if name in known else cell
                    for name, cell in zip(header, cells, strict=False)
                ]
                + list(cells[len(header) :]),
            )


def _house_text(file: TableFile, reading: Reading) -> str:
    rows = [reading.records[0], *(now for _, now in _pairs(file, reading))]
    return "".join(record_text(cells, "\n") for cells in rows)
