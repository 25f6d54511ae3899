"""What the dataset consists of, for the page that offers it.

In:  a written dataset folder.
Out: its files, each with size and a sentence.
"""

from __future__ import annotations

from dataclasses import dataclass

from trialpress.dataset.tables import Column


@dataclass(frozen=True)
class DatasetFile:
    """One file; ``name`` is its path inside the dataset folder, with ``/``.

    ``columns`` and ``key`` are those of a table, with its canonical file.
    """

    name: str
    size_bytes: int
    description: str
    columns: tuple[Column, ...] = ()
    key: tuple[str, ...] = ()


DatasetListing = tuple[DatasetFile, ...]
"""All files; the archive, which holds all the others, comes first."""
