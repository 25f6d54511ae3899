"""A bench as it would be with a draft in it.

In:  a bench, the file a draft belongs to with the bytes it would have.
Out: a folder that intake reads like the bench; the bench itself is not touched.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from trialpress.bench import Bench
from trialpress.desk.append import NotKeptError
from trialpress.desk.preview.filling import Filled


@contextmanager
def trial_copy(bench: Bench, filled: Filled, workroom: Path) -> Iterator[Bench]:
    """A bench of links to everything but the one file; gone afterwards.

    Raises
    ------
    NotKeptError
        If the disk refuses.
    """
    try:
        workroom.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=workroom, prefix=".trial-") as folder:
            copy = Bench(Path(folder))
            _link_all(bench.data, copy.data, leave_out=bench.days)
            _link_all(bench.days, copy.days, leave_out=filled.file.parent)
            day = copy.days / filled.file.parent.name
            _copy_day(filled.file.parent, day)
            (day / filled.file.name).unlink(missing_ok=True)
            (day / filled.file.name).write_bytes(filled.data)
            yield copy
    except OSError as error:
        raise NotKeptError(workroom, error) from error


def _link_all(source: Path, target: Path, *, leave_out: Path) -> None:
    target.mkdir()
    if source.is_dir():
        for path in source.iterdir():
            if path != leave_out:
                (target / path.name).symlink_to(path.resolve())


def _copy_day(source: Path, target: Path) -> None:
    """The day itself must not be a link: its photos have to lie inside it."""
    if source.is_dir():
        shutil.copytree(source, target, copy_function=_link_or_copy)
    else:
        target.mkdir()


def _link_or_copy(source: str, target: str) -> None:
    try:
        os.link(source, target)
    except OSError:  # another disk, or one that knows no links
        shutil.copy2(source, target)
