"""A bench to try things out on.

In:  a bench.
Out: a copy of its data that intake reads like the bench, gone afterwards; the bench itself is not
     touched. Files are links until something is written in their place.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from trialpress.bench import Bench
from trialpress.desk.replacing import NotKeptError

ADOPTED = "adopted"


@contextmanager
def trial_bench(bench: Bench) -> Iterator[Bench]:
    """A bench with the same data, to be written with ``append_rows`` or ``replace_durably`` alone.

    Raises
    ------
    NotKeptError
        If the disk refuses.
    """
    workroom = bench.root / "build"
    try:
        workroom.mkdir(exist_ok=True)
        with tempfile.TemporaryDirectory(dir=workroom, prefix=".trial-") as folder:
            copy = Bench(Path(folder))
            leave_out = shutil.ignore_patterns(".*", ADOPTED, "editions")
            shutil.copytree(bench.data, copy.data, copy_function=_link_or_copy, ignore=leave_out)
            yield copy
    except OSError as error:
        raise NotKeptError(workroom, error) from error


def _link_or_copy(source: str, target: str) -> None:
    try:
        os.link(source, target)
    except OSError:  # another disk, or one that knows no links
        shutil.copy2(source, target)
