"""Files of the bench folder: how they are written, and what the bench says about itself.

In:  rows, texts and descriptors.
Out: the same bytes for the same input, on every machine; the text of ``bench.toml``, and the
     content of the ``datapackage.json`` files.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping, Sequence
from dataclasses import astuple, fields
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from _typeshed import DataclassInstance


BENCH_TOML = """format = 1
name = "Quillmere bench"
base_url = "https://example.org/trialpress-demo/"
time_zone = "Europe/Lisbon"
licence = "CC-BY-4.0"
contact = "bench@example.org"
currency = "EUR"
top_n = 5
confidence = 0.95
single_runs = "borrowed"
show_operators = true
disclosure = '''
Most machines were bought in shops at the price shown. Loaned, gifted and sponsored ones are marked
as such; nobody who lent, gave or paid for one saw a result before readers did, and nobody has ever
paid for a place.'''
notice = '''
Invented data. This bench, its tester, the makers, the machines and every figure were made up to
show what Trialpress does. They say nothing about any real machine.'''
"""
_LICENCES = [
    {
        "name": "CC-BY-4.0",
        "title": "Creative Commons Attribution 4.0 International",
        "path": "https://creativecommons.org/licenses/by/4.0/",
    }
]
CATALOGUE_DESCRIPTOR = {
    "name": "quillmere-catalogue",
    "title": "Catalogue of the Quillmere bench (invented)",
    "description": "Makers, machines, set-ups, floors, soils, instruments and protocols.",
    "licenses": _LICENCES,
    "sources": [{"title": "Invented for the Trialpress demo"}],
}
DAY_DESCRIPTORS = {
    "2024-09-14-hall": {
        "name": "quillmere-2024-09-14-hall",
        "title": "The first day in the hall (invented)",
        "description": "Times were not noted run by run.",
        "licenses": _LICENCES,
        "sources": [{"title": "Invented for the Trialpress demo"}],
    },
    "2025-10-04-hall": {
        "name": "quillmere-2025-10-04-hall",
        "title": "The first day on the moss rug (invented)",
        "licenses": _LICENCES,
        "sources": [{"title": "Invented for the Trialpress demo"}],
    },
}


def write_table(path: Path, rows: Sequence[DataclassInstance]) -> None:
    """Write rows of one kind as CSV; a column that no row fills is left out.

    Parameters
    ----------
    path : Path
        The file; its folder is made where it is missing.
    rows : sequence of one dataclass
        At least one row, only text in it.
    """
    heading = tuple(field.name for field in fields(rows[0]))
    columns = zip(heading, *(astuple(row) for row in rows), strict=True)
    kept = [column for column in columns if any(column[1:])]
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(zip(*kept, strict=True))
    write_text(path, text.getvalue())


def write_text(path: Path, text: str) -> None:
    """Write a text as UTF-8 with plain line ends."""
    write_bytes(path, text.encode())


def write_bytes(path: Path, content: bytes) -> None:
    """Write a file, and make its folder where it is missing."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


def write_json(path: Path, content: Mapping[str, object]) -> None:
    """Write a descriptor in the order it is given."""
    write_text(path, json.dumps(content, ensure_ascii=False, indent=2) + "\n")
