"""A copy of a bench to try rows on, before they are written for good.

In:  a bench.
Out: a copy of its data that intake reads like the bench, gone afterwards; the bench itself is not
     touched. What ``check`` says of either, faults or not.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from trialpress.bench import Bench
from trialpress.desk.replacing import NotKeptError
from trialpress.desk.scratch import scratch_folder
from trialpress.intake import FaultyBenchError, Finding, read_bench

ADOPTED = "adopted"


@contextmanager
def copied_bench(bench: Bench) -> Iterator[Bench]:
    """A bench with the same data, to be written with ``append_rows`` or ``replace_durably`` alone.

    Files are links until something is put in their place, so a copy costs next to nothing, and
    whatever wrote into a file would write into the bench itself.

    Raises
    ------
    NotKeptError
        If the disk refuses.
    """
    outputs = bench.root / "build"
    try:
        with scratch_folder(outputs, "trial") as folder:
            copy = Bench(folder)
            leave_out = shutil.ignore_patterns(".*", ADOPTED, "editions")
            shutil.copytree(
                bench.data,
                copy.data,
                symlinks=True,  # where one leads is checked in the copy as well
                copy_function=_link_or_copy,
                ignore=leave_out,
            )
            yield copy
    except OSError as error:
        raise NotKeptError(outputs, error) from error


def findings_of(bench: Bench) -> tuple[Finding, ...]:
    """Everything that ``check`` finds in a bench, later days included."""
    try:
        return read_bench(bench, None).findings
    except FaultyBenchError as error:
        return error.findings


def _link_or_copy(source: str, target: str) -> None:
    try:
        os.link(source, target)
    except OSError:  # another disk, or one that knows no links
        shutil.copy2(source, target)
