"""Whether a path in a bench's own files stays inside its folder.

In:  a path as somebody typed it into a descriptor or a table.
Out: how far it reaches. Nothing is opened.
"""

from __future__ import annotations

import re
from enum import Enum
from pathlib import Path, PurePosixPath, PureWindowsPath

_ADDRESS = re.compile(r"[A-Za-z][A-Za-z0-9+.-]+:|//|\\\\")


class Reach(Enum):
    """Where a path leads."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    NETWORK = "network"


def reach_of(path: str, folder: Path) -> Reach:
    """Say where ``path``, taken from ``folder``, leads; links are followed."""
    if _ADDRESS.match(path):
        return Reach.NETWORK
    parts = PurePosixPath(path.replace("\\", "/")).parts
    is_rooted = path.startswith(("/", "\\", "~")) or bool(PureWindowsPath(path).drive)
    if is_rooted or ".." in parts or "\0" in path:
        return Reach.OUTSIDE
    try:
        is_inside = (folder / path).resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError):
        return Reach.OUTSIDE
    return Reach.INSIDE if is_inside else Reach.OUTSIDE
