"""Outputs swapped in whole: what was there stays until what is new is complete.

In:  a folder or file that was written beside the old one.
Out: the new one in the old one's place.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from trialpress.errors import OutsideWorldError

STAGING = ".staging"
RETIRED = ".retired"


class OutputFolderError(OutsideWorldError):
    """The output folder cannot be written."""

    def __init__(self, folder: Path, reason: OSError) -> None:
        super().__init__(
            f"{folder} cannot be written: {reason.strerror or reason}. "
            "Free some space, or choose another folder with --out."
        )


@contextmanager
def staging_folder(out: Path) -> Iterator[Path]:
    """A fresh folder inside ``out`` to write into; gone afterwards, whatever happens.

    Raises
    ------
    OutputFolderError
        If the disk refuses, here or while the caller writes.
    """
    staging = out / STAGING
    try:
        put_back_retired(out)
        shutil.rmtree(staging, ignore_errors=True)
        staging.mkdir(parents=True)
        yield staging
    except OSError as error:
        raise OutputFolderError(out, error) from error
    finally:
        shutil.rmtree(staging, ignore_errors=True)


def swap_in(staging: Path, out: Path, names: list[str]) -> None:
    """Put each of ``names`` from ``staging`` in its place in ``out``.

    A file is replaced in one step. A folder takes two: the old one is put aside, then the new one
    takes its name; should the power go between, ``put_back_retired`` mends it at the next build.
    """
    for name in names:
        new, place, retired = staging / name, out / name, out / RETIRED / name
        if place.is_dir():
            shutil.rmtree(retired, ignore_errors=True)
            retired.parent.mkdir(parents=True, exist_ok=True)
            place.rename(retired)
            new.rename(place)
        else:
            new.replace(place)
    shutil.rmtree(out / RETIRED, ignore_errors=True)


def put_back_retired(out: Path) -> None:
    """Give back the place of anything that was put aside and never replaced."""
    retired = out / RETIRED
    if not retired.is_dir():
        return
    for old in sorted(retired.iterdir()):
        place = out / old.name
        if not place.exists():
            old.rename(place)
    shutil.rmtree(retired, ignore_errors=True)
