"""Whether a path that came from data stays inside its folder; what is written or removed by it.

In:  a folder, and a path below it as it stands in a table, a descriptor, a manifest or an address.
Out: where it leads; the place it names, or a refusal. Whatever is written or removed by a name
     from data goes through ``place_below``.
"""

from __future__ import annotations

import re
from enum import Enum
from pathlib import Path, PurePosixPath, PureWindowsPath

from trialpress.errors import FaultyDataError

_ADDRESS = re.compile(r"[A-Za-z][A-Za-z0-9+.-]+:|//|\\\\")


class Destination(Enum):
    """Where a path leads."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    NETWORK = "network"


class OutsideFolderError(FaultyDataError):
    """Something would be written or removed outside the folder it belongs to."""

    def __init__(self, root: Path, name: str) -> None:
        super().__init__(
            f"{name!r} leads out of {root}, so nothing is written or removed there. Look for it in "
            "the data, or for a link on the way, and mend that."
        )


def destination_of(path: str, folder: Path) -> Destination:
    """Say where ``path``, taken from ``folder``, leads; links are followed."""
    if _ADDRESS.match(path):
        return Destination.NETWORK
    parts = PurePosixPath(path.replace("\\", "/")).parts
    is_rooted = path.startswith(("/", "\\", "~")) or bool(PureWindowsPath(path).drive)
    if is_rooted or ".." in parts or "\0" in path:
        return Destination.OUTSIDE
    try:
        is_inside = (folder / path).resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError):
        return Destination.OUTSIDE
    return Destination.INSIDE if is_inside else Destination.OUTSIDE


def place_below(root: Path, name: str) -> Path:
    """The place that a name from data means below a folder; links are followed.

    Raises
    ------
    OutsideFolderError
        If it is not inside, or is the folder itself.
    """
    if destination_of(name, root) is not Destination.INSIDE or not PurePosixPath(name).parts:
        raise OutsideFolderError(root, name)
    return root / name


def write_below(root: Path, name: str, data: bytes) -> None:
    """Write a file below a folder, and the folders on the way to it.

    Raises
    ------
    OutsideFolderError
        If it would not be inside.
    OSError
        If the disk refuses.
    """
    place = place_below(root, name)
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_bytes(data)


def remove_below(root: Path, name: str) -> None:
    """Remove a file below a folder, and the folders on the way to it that are empty then.

    Raises
    ------
    OutsideFolderError
        If it is not inside.
    OSError
        If the disk refuses.
    """
    place = place_below(root, name)
    place.unlink(missing_ok=True)
    for parent in PurePosixPath(name).parents[:-1]:
        folder = root / parent
        if any(folder.iterdir()):
            break
        folder.rmdir()
