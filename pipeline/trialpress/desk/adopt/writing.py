"""An adoption written, and the last one taken back.

In:  an ``Adoption``.
Out: the original, where each row came from and the rows, in this order: should the power go
     between, the next run finds a line, misses its row and writes it. Or all three gone again.
"""

from __future__ import annotations

import json
import re
from functools import partial
from pathlib import Path

from trialpress.bench import READING_TABLES, Bench
from trialpress.desk.adopt.adoption import Adoption, append_to_days
from trialpress.desk.adopt.provenance import (
    AdoptedRow,
    NumberedRow,
    keep_original,
    kept_name,
    write_provenance,
)
from trialpress.desk.adopt.spreadsheet import Spreadsheet
from trialpress.desk.append import ChangingFileError
from trialpress.desk.bench_copy import ADOPTED, copied_bench
from trialpress.desk.last_change import FileChange, LastChange, written
from trialpress.desk.replacing import replace_durably
from trialpress.errors import FaultyDataError
from trialpress.lock import locked
from trialpress.ordinary_file import read_ordinary
from trialpress.paths import place_below

MEMORY = "last-adoption.json"
SHOWN = "last-shown.json"
_OF_A_DAY = re.compile(rf"data/days/[^/]+/({'|'.join(READING_TABLES)})\.csv")
_OF_ADOPTED = re.compile(r"data/adopted/[^/]+")


class ChangedSinceShownError(FaultyDataError):
    """The spreadsheet is not the one whose rows were shown."""

    def __init__(self, file: Path) -> None:
        super().__init__(
            f"{file} was changed since its rows were shown, so nothing was written. Look at them "
            "again, then write."
        )


def write_adoption(bench: Bench, adoption: Adoption) -> None:
    """Write what was understood, all of it or nothing.

    Raises
    ------
    NotKeptError
        If the disk refuses; run again, and what is missing is added.
    ChangingFileError
        If another program saves a file of the bench at the same moment.
    """
    if not adoption.rows:
        return
    with locked(bench):
        changes = _changes(bench, adoption)
        file, count = adoption.spreadsheet.file.name, len(adoption.rows)
        what = f"{count} row{'s' if count > 1 else ''} of {file} were adopted"
        last_adoption(bench).remember(what, changes, adoption.spreadsheet.sha256)
        other = written(changes)
        if other is not None:
            raise ChangingFileError(other.file)


def remember_shown(bench: Bench, adoption: Adoption) -> None:
    """Note which file's rows were shown, and what the file held."""
    shown = {"file": str(adoption.spreadsheet.file.resolve()), "of": adoption.spreadsheet.sha256}
    text = json.dumps(shown, ensure_ascii=False, indent=1)
    replace_durably(place_below(bench.root, f"build/{SHOWN}"), text.encode())


def refuse_changed(bench: Bench, adoption: Adoption) -> None:
    """See that the file is still the one that was shown, if it was, and that was understood.

    Raises
    ------
    ChangedSinceShownError
        If it is not.
    """
    file = adoption.spreadsheet.file
    try:
        shown = json.loads(place_below(bench.root, f"build/{SHOWN}").read_bytes())
    except (OSError, ValueError):
        shown = None
    was_shown = isinstance(shown, dict) and shown.get("file") == str(file.resolve())
    if was_shown and shown.get("of") != adoption.spreadsheet.sha256:
        raise ChangedSinceShownError(file)
    try:
        is_same = read_ordinary(file) == adoption.spreadsheet.data
    except OSError:
        is_same = False
    if not is_same:
        raise ChangedSinceShownError(file)


def last_adoption(bench: Bench) -> LastChange:
    """What was adopted last, to take it back."""
    return LastChange(bench, MEMORY, partial(_file_of, bench), "no spreadsheet was adopted here")


def _file_of(bench: Bench, name: str) -> Path | None:
    """The file of that name, if it is one that adoptions are written to."""
    is_ours = _OF_A_DAY.fullmatch(name) or _OF_ADOPTED.fullmatch(name)
    return place_below(bench.root, name) if is_ours else None


def _changes(bench: Bench, adoption: Adoption) -> list[FileChange]:
    """Every file that is written, as it is and as it becomes, in the order of writing."""
    spreadsheet = adoption.spreadsheet
    lines = [_line(row, spreadsheet) for row in adoption.rows]
    names = [f"{ADOPTED}/{kept_name(spreadsheet)}", f"{ADOPTED}/provenance.csv"]
    names += sorted({f"days/{row.day}/{row.table}.csv" for row in adoption.rows})
    files = [place_below(bench.data, name) for name in names]
    before = [file.read_bytes() if file.is_file() else None for file in files]
    with copied_bench(bench) as copy:
        keep_original(copy, spreadsheet)
        if before[1] is not None:
            replace_durably(place_below(copy.data, names[1]), before[1])
        write_provenance(copy, [line for line in lines if line.origin not in adoption.promised])
        append_to_days(copy, adoption.rows)
        after = [place_below(copy.data, name).read_bytes() for name in names]
    return [
        FileChange(file, was, becomes)
        for file, was, becomes in zip(files, before, after, strict=True)
        if was != becomes
    ]


def _line(row: NumberedRow, spreadsheet: Spreadsheet) -> AdoptedRow:
    return AdoptedRow(
        table=row.table,
        day=row.day,
        row=row.key,
        file=spreadsheet.file.name,
        kept=kept_name(spreadsheet),
        sha256=spreadsheet.sha256,
        sheet=row.origin.sheet,
        source_row=row.origin.source_row,
        digest=row.origin.digest,
        count=str(row.origin.count),
    )
