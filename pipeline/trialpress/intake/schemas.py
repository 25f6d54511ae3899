"""The Table Schemas of the bench's tables.

In:  ``schemas/<table>.json``, one file a table, shipped with the package.
Out: each as a dataclass for the other stages, and as the JSON that editions carry.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources import files
from typing import Any

from trialpress.bench import TABLES


@dataclass(frozen=True)
class Field:
    """One column.

    ``required`` columns may never be blank; ``blank_until_run`` ones may be blank only while the
    run is planned or void. Columns that are neither may be absent from a file.
    """

    name: str
    type: str
    title: str
    description: str
    unit: str | None
    required: bool
    blank_until_run: bool
    allowed: tuple[str, ...]

    @property
    def meaning(self) -> str:
        """What belongs in the column, with its unit and the words it can hold, for a tester."""
        unit = f" In {self.unit}." if self.unit not in {None, "1"} else ""  # a share has none
        words = f" One of: {', '.join(self.allowed)}." if self.allowed else ""
        return f"{self.description}{unit}{words}"


@dataclass(frozen=True)
class Reference:
    """Columns whose text must be a key of another table."""

    columns: tuple[str, ...]
    table: str
    key: tuple[str, ...]


@dataclass(frozen=True)
class TableSchema:
    """One table: what it holds, its columns, its key and what it points to."""

    name: str
    title: str
    description: str
    fields: tuple[Field, ...]
    key: tuple[str, ...]
    references: tuple[Reference, ...]

    @cached_property
    def columns(self) -> tuple[str, ...]:
        """The names of all columns, in the schema's order."""
        return tuple(field.name for field in self.fields)

    @cached_property
    def required(self) -> tuple[str, ...]:
        """The names of the columns that may never be blank."""
        return tuple(field.name for field in self.fields if field.required)

    def field(self, name: str) -> Field:
        """The column of that name."""
        return next(field for field in self.fields if field.name == name)


def read_schema_text(table: str) -> str:
    """Read the schema of one table as the JSON text that is shipped and copied into editions."""
    if table not in TABLES:
        raise ValueError(table)
    return files("trialpress.intake").joinpath("schemas", f"{table}.json").read_text("utf-8")


@cache
def read_schema(table: str) -> TableSchema:
    """Read the schema of one table.

    Parameters
    ----------
    table : str
        One of ``trialpress.bench.TABLES``.

    Returns
    -------
    TableSchema
        Fields in the order the columns are published in.
    """
    descriptor = json.loads(read_schema_text(table))
    return TableSchema(
        name=descriptor["name"],
        title=descriptor["title"],
        description=descriptor["description"],
        fields=tuple(_field(item) for item in descriptor["fields"]),
        key=tuple(descriptor["primaryKey"]),
        references=tuple(_reference(item) for item in descriptor.get("foreignKeys", [])),
    )


def _field(item: dict[str, Any]) -> Field:
    constraints = item.get("constraints", {})
    return Field(
        name=item["name"],
        type=item["type"],
        title=item["title"],
        description=item["description"],
        unit=item.get("unit"),
        required=constraints.get("required", False),
        blank_until_run=item.get("blankUntilRun", False),
        allowed=tuple(constraints.get("enum", ())),
    )


def _reference(item: dict[str, Any]) -> Reference:
    target = item["reference"]
    return Reference(tuple(item["fields"]), target["resource"], tuple(target["fields"]))
