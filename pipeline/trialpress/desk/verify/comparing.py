"""The formats of a dataset held against each other, by a process of its own.

In:  a dataset folder that nobody trusts, and its ``datapackage.json``.
Out: where formats and means differ, or why they cannot be compared. Some kilobytes of Parquet can
     hold rows for ever, a SQLite file ask for every byte there is: that ends the other process.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

from trialpress.desk.adopt.limits import BEYOND, NotUnderstoodError, call_within
from trialpress.desk.verify.differences import Difference
from trialpress.desk.verify.formats import WrongTableError, format_differences, held_tables
from trialpress.desk.verify.means import mean_differences

WORK_S, WORK_S_PER_MB = 60, 20
MEMORY, MEMORY_PER_BYTE = 2 << 30, 60
"""Rows as Python has them take some fifty times the room of their text."""
TOO_MUCH = (
    "comparing its tables takes more memory or time than this machine has to spare for a dataset "
    "of this size"
)
_MB = 2**20
Given = ParamSpec("Given")
Made = TypeVar("Made")


@dataclass(frozen=True)
class FormatComparison:
    """Differences between formats, and of means; ``fault`` where a table cannot be read."""

    differences: tuple[Difference, ...]
    fault: str | None = None


def compare_formats(folder: Path, package: Mapping[str, Any]) -> FormatComparison:
    """Compare all formats of all tables, within limits of time and memory."""
    size = sum(file.stat().st_size for file in folder.rglob("*") if file.is_file())
    try:
        return work_within_limits(size, compare, folder, package)
    except NotUnderstoodError as error:
        return FormatComparison((), str(error))


def work_within_limits(
    size: int, function: Callable[Given, Made], *arguments: Given.args, **options: Given.kwargs
) -> Made:
    """Call a function in another process, with limits that go with the bytes it is about.

    Raises
    ------
    NotUnderstoodError
        If it raised anything, or ended for want of memory or time.
    """
    limits = WORK_S + WORK_S_PER_MB * (size // _MB), min(MEMORY + MEMORY_PER_BYTE * size, _half())
    try:
        return call_within(limits, function, *arguments, **options)
    except NotUnderstoodError as error:
        raise NotUnderstoodError(TOO_MUCH if str(error) == BEYOND else str(error)) from None


def compare(folder: Path, package: Mapping[str, Any]) -> FormatComparison:
    """As ``compare_formats``, in this process."""
    found: list[Difference] = []
    try:
        tables = held_tables(folder, package)
        found += format_differences(tables)
        found += mean_differences(tables)
    except WrongTableError as error:
        return FormatComparison(tuple(found), str(error))
    return FormatComparison(tuple(found))


def _half() -> int:
    """Half of the machine's memory, in bytes; what a limit can be at most where it is not told."""
    if sys.platform == "win32":
        return sys.maxsize
    return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") // 2
