"""The tables of the analyses, read back as the records they were written from.

In:  the store with a table of analyses.
Out: its records, in the order of the table.
"""

from __future__ import annotations

from dataclasses import fields
from typing import Any, TypeVar, cast

from trialpress.store import Store

Row = TypeVar("Row")


def read_rows(store: Store, kind: type[Row], table: str) -> list[Row]:
    """The whole of one table; ``kind`` is its record in ``records``."""
    columns = ", ".join(field.name for field in fields(cast("Any", kind)))
    return store.records(kind, f"select {columns} from {table}")  # noqa: S608 -- our own names
