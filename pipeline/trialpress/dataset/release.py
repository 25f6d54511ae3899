"""What a dataset is a release of: its version, its changes, and the program that made it.

In:  the sources of this program and the libraries it computes with.
Out: ``Release`` and ``Program``. Two programs with one fingerprint work out the same figures from
     the same rows; where they differ, ``verify`` does not take a difference for tampering.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib import metadata
from importlib.resources import files
from importlib.resources.abc import Traversable

from trialpress import __version__

COMPUTING = ("bench.py", "units.py", "intake", "store", "measure", "results", "analyses")
"""What decides figures: modules and packages of this program."""
LIBRARIES = ("duckdb", "numpy", "pandas", "scipy")
"""Libraries that decide last digits."""
SOURCES = (".py", ".sql", ".json", ".toml", ".txt")
CHANGES_FILE = "CHANGES.md"


@dataclass(frozen=True)
class Program:
    """The program that wrote a dataset."""

    version: str
    fingerprint: str

    @property
    def text(self) -> str:
        """The program as people are told of it."""
        return f"Trialpress {self.version} ({self.fingerprint})"


@dataclass(frozen=True)
class Release:
    """A numbered edition: ``changes`` is the text of its change log."""

    version: str
    changes: str


@cache
def this_program() -> Program:
    """The program that runs, by what it computes with."""
    digest = hashlib.sha256()
    package = files("trialpress")
    for name in COMPUTING:
        for path, source in _sources(package / name, name):
            digest.update(f"{path}\0".encode() + source.read_bytes() + b"\0")
    for library in LIBRARIES:
        digest.update(f"{library} {metadata.version(library)}\0".encode())
    return Program(__version__, digest.hexdigest()[:12])


def _sources(place: Traversable, path: str) -> Iterator[tuple[str, Traversable]]:
    if place.is_file():
        yield path, place
        return
    for entry in sorted(place.iterdir(), key=lambda entry: entry.name):
        if entry.is_dir() or entry.name.endswith(SOURCES):
            yield from _sources(entry, f"{path}/{entry.name}")
