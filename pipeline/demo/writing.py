"""Files of the bench folder.

In:  rows, texts and pictures.
Out: the same bytes for the same input, on every machine.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping, Sequence
from dataclasses import astuple, fields
from pathlib import Path
from typing import Any


def write_table(path: Path, kind: type[Any], rows: Sequence[object]) -> None:
    """Write rows of one kind as CSV; a column that no row fills is left out.

    Parameters
    ----------
    path : Path
        The file; its folder is made where it is missing.
    kind : type
        The dataclass of the rows, which gives the heading of an empty file.
    rows : sequence of that dataclass
        Only text in them.
    """
    heading = tuple(field.name for field in fields(kind))
    lines = [heading, *(astuple(row) for row in rows)]  # type: ignore[call-overload]
    columns = list(zip(*lines, strict=True))
    kept = [column for column in columns if not rows or any(column[1:])]
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(zip(*kept, strict=True))
    write_text(path, text.getvalue())


def write_text(path: Path, text: str) -> None:
    """Write a text as UTF-8 with plain line ends."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode())


def write_json(path: Path, content: Mapping[str, object]) -> None:
    """Write a descriptor in the order it is given."""
    write_text(path, json.dumps(content, ensure_ascii=False, indent=2) + "\n")
