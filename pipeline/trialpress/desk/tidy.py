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
from trialpress.desk.append import (
    BYTE_ORDER_MARK,
    ChangingFileError,
    TableText,
    UnreadableTableError,
    read_table_text,
    record_text,
)
from trialpress.desk.replacing import replace_durably, replace_unchanged
from trialpress.errors import UsageError
from trialpress.intake import Finding, read_schema
from trialpress.intake.folder import TableFile, list_bench
from trialpress.intake.nearest import meant
from trialpress.intake.table_file import read_table_file
from trialpress.paths import place_below

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
    """One file that would change, or cannot be: then ``findings`` hold the errors that say why."""

    name: str
    path: Path
    before: str
    after: str
    findings: tuple[Finding, ...]

    @property
    def difference(self) -> tuple[str, ...]:
        """The lines that change, those of before with a minus, those of after with a plus."""
        before = self.before.removeprefix(BYTE_ORDER_MARK).splitlines()
        after = self.after.removeprefix(BYTE_ORDER_MARK).splitlines()
        _, _, *lines = [*difflib.unified_diff(before, after, n=0, lineterm="")] or ["", ""]
        return tuple(f"{line[0]} {line[1:]}" for line in lines if not line.startswith("@@"))


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
    return tuple(tidied for file in wanted if (tidied := _tidied(file)) is not None)


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
    ChangingFileError
        If another program saved the file meanwhile; what it saved stays.
    """
    written = []
    for file in files:
        kept, before = _free_place(bench, file.name), file.before.encode()
        replace_durably(kept, before)
        if not replace_unchanged(place_below(bench.root, file.name), before, file.after.encode()):
            raise ChangingFileError(file.path)
        written.append((file.name, bench.name_of(kept)))
    return tuple(written)


def _free_place(bench: Bench, name: str) -> Path:
    """Where an original goes: never in the place of an earlier one, and not among the data."""
    stem = name.replace("/", "--").removesuffix(".csv")
    places = (place_below(bench.root, f"{KEPT}/{stem}-{number}.csv") for number in count(1))
    return next(place for place in places if not place.exists())


def _tidied(file: TableFile) -> Tidied | None:
    contents = read_table_file(file)
    findings = (*contents.findings, *contents.doubts)
    try:
        table = read_table_text(file.path) if contents.is_whole else None
    except UnreadableTableError:  # a finding says why
        table = None
    if table is None:
        return Tidied(file.name, file.path, "", "", findings)
    before, after = "".join(table.texts), _house_text(table)
    return None if before == after else Tidied(file.name, file.path, before, after, findings)


def _house_text(table: TableText) -> str:
    """The text of a file in the house form; rows that have it stay byte for byte.

    Where other marks than commas stand between the columns every row is written anew: then lines
    end as they do in files that are started here, and no byte order mark is kept.
    """
    known = read_schema(table.table).columns
    names = zip(table.columns, table.records[0], strict=False)
    header = [name if name in known else cell for name, cell in names]
    rows = [header, *(_house_cells(table, i) for i in range(1, table.end))]
    if table.delimiter != ",":
        return "".join(record_text(cells, "\n") for cells in rows)
    mark = BYTE_ORDER_MARK if table.texts[0].startswith(BYTE_ORDER_MARK) else ""
    texts = [
        text if list(record) == cells else record_text(cells, _line_end_of(text))
        for text, record, cells in zip(table.texts, table.records, rows, strict=False)
    ]
    return mark + texts[0].removeprefix(mark) + "".join(texts[1:])


def _house_cells(table: TableText, i: int) -> list[str]:
    cells = table.house_row(i).values()
    return [cell if isinstance(cell, str) else cell.text for cell in cells]


def _line_end_of(text: str) -> str:
    return text[len(text.rstrip("\r\n")) :]
