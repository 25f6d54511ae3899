"""Folders for work in progress that nobody finds later, however that work ends.

In:  the folder of a bench's outputs, and what the work is called.
Out: a folder for one piece of work, gone afterwards. What a kill or a power cut leaves of earlier
     work is removed when the next begins; work that another program is at is left alone.

Short: a question of its own, asked wherever something is tried out.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from trialpress.lock import InUseError, locked_file

PATIENCE_S = 20.0
LOCK = ".scratch.lock"


@contextmanager
def scratch_folder(outputs: Path, name: str) -> Iterator[Path]:
    """A fresh folder below the outputs, such as ``.publish-k3j2``.

    Raises
    ------
    OSError
        If the disk refuses.
    InUseError
        If another program holds the outputs for too long.
    """
    outputs.mkdir(parents=True, exist_ok=True)
    with ExitStack() as work:
        with locked_file(outputs, outputs / LOCK, PATIENCE_S):
            _sweep(outputs, name)
            folder = Path(tempfile.mkdtemp(dir=outputs, prefix=f".{name}-"))
            work.callback(shutil.rmtree, folder, ignore_errors=True)
            work.enter_context(locked_file(folder, folder / LOCK, 0))
        yield folder


def _sweep(outputs: Path, name: str) -> None:
    """Remove what was left of work whose program has ended."""
    for left in sorted(outputs.glob(f".{name}-*")):
        try:
            with locked_file(left, left / LOCK, 0):
                pass
        except InUseError:
            continue
        shutil.rmtree(left, ignore_errors=True)
