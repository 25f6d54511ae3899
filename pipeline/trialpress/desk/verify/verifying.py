"""The order of a verification, and the verdict.

In:  the path of a dataset.
Out: ``Verification``. First whether each file is as its sum says, then whether all formats say the
     same, then whether the raw rows give the published results. The first two depend on no
     program, so a difference that only another program's results have is told from tampering.
"""

from __future__ import annotations

import hashlib
import json
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import Any

from trialpress.dataset.archive import SUMS_FILE
from trialpress.dataset.parquet_rows import unshared_rows
from trialpress.dataset.release import Program, this_program
from trialpress.dataset.tables import RESULTS
from trialpress.desk.adopt.limits import NotUnderstoodError
from trialpress.desk.verify.comparing import compare_formats, work_within_limits
from trialpress.desk.verify.differences import Cell, Difference, differences, keyed
from trialpress.desk.verify.formats import HeldTable, WrongTableError, held_tables
from trialpress.desk.verify.rebuilding import rebuild_bench
from trialpress.editions import PACKAGE_FILE, opened_archive
from trialpress.errors import FaultyDataError, OutsideWorldError, UsageError
from trialpress.flow import Order, Output, build
from trialpress.intake import FaultyBenchError
from trialpress.ordinary_file import open_ordinary

WORDS_ONLY = frozenset({"findings", "terms"})
"""Result tables that hold words of one language, and no figure."""
MOST_SPANS = 20
LARGEST_FILE = 4 << 30
SIDES = ("published", "from the raw rows")
_TwoTables = tuple[Sequence[Mapping[str, Cell]], Sequence[Mapping[str, Cell]]]


class OddDatasetError(FaultyDataError):
    """A dataset is a folder in which something else lies than files."""

    def __init__(self, file: Path, reason: OSError) -> None:
        super().__init__(
            f"{file} is not read: {reason.strerror or reason}. A dataset holds ordinary files "
            "alone; download it again from where it was published."
        )


class NoDatasetError(UsageError):
    """There is no dataset of that name."""

    def __init__(self, place: Path) -> None:
        super().__init__(
            f"{place} is no dataset: name the zip of an edition, or a folder with {PACKAGE_FILE}."
        )


class ScratchError(OutsideWorldError):
    """The disk has no room to work in."""

    def __init__(self, reason: OSError) -> None:
        super().__init__(f"There is no room to verify in: {reason.strerror or reason}.")


class VerificationOutcome(StrEnum):
    """What a verification comes to."""

    CONFIRMED = "confirmed"
    CHANGED = "changed"
    UNDECIDED = "undecided"


@dataclass(frozen=True)
class Verification:
    """``faults`` are files that are not what they were, and tables that cannot be read.

    ``formats`` are differences between formats, and of means from those of their runs: both need no
    program to be told. ``results`` are those between published and re-derived.
    """

    version: str
    as_of: date
    made_by: Program
    read_by: Program
    sum: str | None
    tables: int
    rows: int
    faults: tuple[str, ...]
    formats: tuple[Difference, ...]
    results: tuple[Difference, ...]

    @property
    def verdict(self) -> VerificationOutcome:
        """Changed where files or formats say so, or the same program works out something else."""
        if self.faults or self.formats:
            return VerificationOutcome.CHANGED
        if not self.results:
            return VerificationOutcome.CONFIRMED
        is_same = self.made_by.fingerprint == self.read_by.fingerprint
        return VerificationOutcome.CHANGED if is_same else VerificationOutcome.UNDECIDED


def verify_dataset(place: Path, tell: Callable[[str], None]) -> Verification:
    """Verify a dataset.

    Parameters
    ----------
    place : Path
        A zip from anywhere, or a folder.
    tell : callable
        Called with a few words as each step begins.

    Raises
    ------
    NoDatasetError
        If there is none.
    UnsafeArchiveError
        If a zip is damaged, or made to do harm.
    OddDatasetError
        If a folder holds links out of it, pipes or devices.
    ScratchError
        If the disk refuses.
    """
    try:
        with (
            tempfile.TemporaryDirectory(prefix="trialpress-verify-") as scratch,
            _opened(place, Path(scratch), tell) as folder,
        ):
            digest = _sum(place) if place.is_file() else None
            return _verify(folder, Path(scratch), digest, tell)
    except OSError as error:
        raise ScratchError(error) from error


@contextmanager
def _opened(place: Path, scratch: Path, tell: Callable[[str], None]) -> Iterator[Path]:
    folder = _dataset_in(place)
    if folder is not None:
        _refuse_odd_files(folder)
        yield folder
        return
    if not place.is_file():
        raise NoDatasetError(place)
    tell("unpacking")
    with opened_archive(place) as archive:
        archive.unpack(scratch / "dataset")
    yield scratch / "dataset"


def _dataset_in(place: Path) -> Path | None:
    """The folder of a dataset: that one, or the only one in it, as programs unpack zips."""
    if not place.is_dir():
        return None
    held = [file.parent for file in (place / PACKAGE_FILE, *place.glob(f"*/{PACKAGE_FILE}"))]
    found = [folder for folder in held if (folder / PACKAGE_FILE).is_file()]
    return found[0] if place in found or len(found) == 1 else None


def _refuse_odd_files(folder: Path) -> None:
    for file in sorted(folder.rglob("*")):
        if file.is_symlink() or not file.is_dir():
            try:
                open_ordinary(file, within=folder, most=LARGEST_FILE).close()
            except OSError as error:
                raise OddDatasetError(file, error) from error


def _verify(
    folder: Path, scratch: Path, digest: str | None, tell: Callable[[str], None]
) -> Verification:
    package = _package(folder)
    tell("comparing files with their sums")
    faults = list(_wrong_sums(folder))
    found_results: list[Difference] = []
    tables: tuple[HeldTable, ...] = ()
    tell("comparing the formats")
    compared = compare_formats(folder, package)
    faults += [compared.fault] if compared.fault else []
    try:
        if not compared.fault:
            tables = held_tables(folder, package)
            tell("working out every result anew")
            found_results += _derived_differences(folder, tables, package, scratch)
    except (WrongTableError, FaultyBenchError) as error:
        faults.append(_in_words(error))
    return Verification(
        version=str(package["version"]),
        as_of=date.fromisoformat(package["asOf"]),
        made_by=Program(**package["program"]),
        read_by=this_program(),
        sum=digest,
        tables=len(tables),
        rows=sum(table.rows for table in tables) if not faults else 0,
        faults=tuple(faults),
        formats=compared.differences,
        results=tuple(found_results),
    )


def _in_words(error: Exception) -> str:
    if isinstance(error, FaultyBenchError):
        first = next(iter(error.findings))
        return f"the raw rows have faults, so no result can be worked out: {first.text}"
    return str(error)


def _package(folder: Path) -> Mapping[str, Any]:
    try:
        package = json.loads((folder / PACKAGE_FILE).read_bytes())
        date.fromisoformat(package["asOf"])
        Program(**package["program"])
        str(package["version"])
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        raise NoDatasetError(folder) from None
    return dict(package)


def _wrong_sums(folder: Path) -> Iterator[str]:
    """Files that are not what ``SHA256SUMS`` says, are not there, or are not in it."""
    try:
        lines = (folder / SUMS_FILE).read_text("utf-8").splitlines()
    except (OSError, ValueError):
        yield f"{SUMS_FILE} is missing or cannot be read"
        return
    summed = {name: digest for digest, _, name in (line.partition("  ") for line in lines)}
    there = {
        file.relative_to(folder).as_posix(): file
        for file in sorted(folder.rglob("*"))
        if file.is_file() and not file.is_symlink()
    }
    for name in sorted(summed.keys() - there.keys()):
        yield f"{name} is missing, and {SUMS_FILE} names it"
    for name, file in there.items():
        if name in summed and _sum(file) != summed[name]:
            yield f"{name} is not as it was: its SHA-256 is not the one in {SUMS_FILE}"


def _sum(file: Path) -> str:
    with file.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _derived_differences(
    folder: Path, tables: Sequence[HeldTable], package: Mapping[str, Any], scratch: Path
) -> Iterator[Difference]:
    """Where the published results are not those that the raw rows give."""
    bench = rebuild_bench(folder, tables, scratch / "bench")
    as_of = date.fromisoformat(package["asOf"])
    since = _since(tables)
    out = scratch / "derived"
    build(Order(bench, as_of, out, (Output.DATASET,), lambda _: None, since=since))
    derived = {table.name: table for table in _derived_tables(out / Output.DATASET.place)}
    for table in tables:
        again = derived.get(table.name)
        if table.kind == RESULTS and again and table.name not in WORDS_ONLY:
            (name, rows), key = _unlike_rows(table, again), again.key
            yield from differences(name, keyed(rows[0], key), keyed(rows[1], key), SIDES)


def _unlike_rows(published: HeldTable, again: HeldTable) -> tuple[str, _TwoTables]:
    """The file that is compared, and both tables: whole, or what is unlike where they are large."""
    if not (published.is_parquet_only or again.is_parquet_only):
        return published.csv_name, (published.texts, again.texts)
    columns = [column for column in again.types if column in published.types]
    files = published.parquet, again.parquet
    size = sum(file.stat().st_size for file in files if file.is_file())
    try:
        rows = work_within_limits(size, unshared_rows, *files, columns, again.key)
    except NotUnderstoodError as error:
        raise WrongTableError(published.parquet_name, str(error).partition("\n")[0]) from None
    return published.parquet_name, rows


def _derived_tables(folder: Path) -> tuple[HeldTable, ...]:
    return held_tables(folder, json.loads((folder / PACKAGE_FILE).read_bytes()))


def _since(tables: Sequence[HeldTable]) -> tuple[date, ...]:
    """The dates that movements are told since."""
    spans = [table for table in tables if table.name == "movement_spans"]
    texts = {row["since"] for table in spans for row in table.texts}
    if len(texts) > MOST_SPANS:
        raise WrongTableError("results/movement_spans.csv", f"it has {len(texts)} dates")
    try:
        return tuple(sorted(date.fromisoformat(text) for text in texts))
    except ValueError as error:
        raise WrongTableError("results/movement_spans.csv", str(error)) from None
