"""Files of the bench folder.

In:  rows, texts and descriptors.
Out: the same bytes for the same input, on every machine.
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
