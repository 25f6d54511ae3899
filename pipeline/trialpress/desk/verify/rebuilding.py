"""A bench folder put together again from the rows of a dataset.

In:  a dataset folder that nobody trusts.
Out: a bench with the same rows in the same files, the settings and the methods; photos are not in a
     dataset, and no figure rests on them. Tables and columns that this program does not know are
     left out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from itertools import groupby
from pathlib import Path

from trialpress.bench import DAY_TABLES, TABLES, Bench
from trialpress.dataset.settings_file import SETTINGS_FILE
from trialpress.dataset.tables import AS_TYPED
from trialpress.desk.append import record_text
from trialpress.desk.verify.formats import HeldTable, WrongTableError
from trialpress.intake import read_schema
from trialpress.paths import write_below

LEFT_OUT = frozenset({"photos"})
_DAY = r"data/days/[0-9]{4}-[0-9]{2}-[0-9]{2}(-[a-z0-9]+)+"
_LONGEST_PATH = 200


def rebuild_bench(folder: Path, tables: Sequence[HeldTable], root: Path) -> Bench:
    """Write the bench that a dataset was made from, as far as figures rest on it.

    Raises
    ------
    WrongTableError
        If rows say that they come from a file that no bench has.
    OSError
        If the disk refuses.
    """
    bench = Bench(root)
    settings = folder / SETTINGS_FILE
    if not settings.is_file():
        raise WrongTableError(SETTINGS_FILE, "the dataset has none")
    write_below(root, f"data/{SETTINGS_FILE}", settings.read_bytes())
    for method in sorted((folder / "methods").glob("*.md")):
        write_below(root, f"data/catalogue/methods/{method.name}", method.read_bytes())
    known = [table for table in tables if table.kind == AS_TYPED and table.name in TABLES]
    for table in known:
        if table.name not in LEFT_OUT:
            _write_files(table, root)
    return bench


def _write_files(table: HeldTable, root: Path) -> None:
    rows = sorted(table.texts, key=lambda row: (row["source_file"], _number(row, table)))
    columns = [column for column in read_schema(table.name).columns if column in table.types]
    for file, of_file in groupby(rows, lambda row: row["source_file"]):
        if not _is_file_of(table.name, file):
            raise WrongTableError(table.csv_name, f"{file!r} is no file of a bench")
        records = [columns, *([row[column] for column in columns] for row in of_file)]
        text = "".join(record_text(record, "\n") for record in records)
        write_below(root, file, text.encode("utf-8"))


def _number(row: Mapping[str, str], table: HeldTable) -> int:
    if not row["source_row"].isdecimal():
        raise WrongTableError(table.csv_name, f"{row['source_row']!r} is no row of a file")
    return int(row["source_row"])


def _is_file_of(table: str, file: str) -> bool:
    place = _DAY if table in DAY_TABLES else r"data(/catalogue)?"
    is_whole = re.fullmatch(rf"{place}/{table}\.csv", file, re.ASCII) is not None
    return is_whole and len(file) <= _LONGEST_PATH
