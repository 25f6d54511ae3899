"""What the dataset consists of, for the page that offers it.

In:  a written dataset folder.
Out: its files, each with size and a sentence.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class DatasetFile:
    """One file; ``name`` is its path inside the dataset folder, with ``/``."""

    name: str
    size_bytes: int
    description: str


DatasetListing = tuple[DatasetFile, ...]
"""All files; the archive, which holds all the others, comes first."""
