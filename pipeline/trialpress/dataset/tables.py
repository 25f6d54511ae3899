"""Which tables are published, and what each of their columns means.

In:  the bench's own schemas, and ``schemas/<table>.json`` of the result tables.
Out: every published table, in the order a reader meets them.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

from trialpress.bench import TABLES
from trialpress.intake.schemas import read_schema_text
from trialpress.words import say

RESULT_TABLES = (
    "standings",
    "overall",
    "overall_scopes",
    "overall_shares",
    "overall_parts",
    "top_cuts",
    "comparisons",
    "maker_overview",
    "cells",
    "spreads",
    "drift",
    "drift_charts",
    "run_results",
    "series",
    "not_ranked",
    "maker_against_field",
    "setup_deltas",
    "machine_values",
    "associations",
    "association_groups",
    "claim_checks",
    "claim_associations",
    "air_powers",
    "value_front",
    "movement_spans",
    "movements",
    "findings",
    "terms",
)
TRACE = "trace"


@dataclass(frozen=True)
class Column:
    """One published column; ``decimals_from`` names the column with its number of decimals."""

    name: str
    type: str
    title: str
    description: str
    unit: str | None
    required: bool
    allowed: tuple[str, ...]
    decimals_from: str | None


@dataclass(frozen=True)
class PublishedTable:
    """One table of the dataset: where it comes from, where it goes, and its Table Schema."""

    name: str
    folder: str
    source: str
    columns: tuple[Column, ...]
    order: tuple[str, ...]
    schema: Mapping[str, Any]

    @property
    def csv(self) -> str:
        """The table's CSV file, relative to the dataset."""
        return f"{self.folder}/{self.name}.csv"

    @property
    def parquet(self) -> str:
        """The table's Parquet file, relative to the dataset."""
        return f"{self.folder}/{self.name}.parquet"

    @property
    def schema_file(self) -> str:
        """The table's schema, relative to the dataset."""
        return f"schemas/{self.name}.json"

    @property
    def title(self) -> str:
        """What the table is called."""
        return say(str(self.schema["title"]))

    @property
    def description(self) -> str:
        """What the table holds, and what one row of it is."""
        return say(str(self.schema["description"]))


def published_tables() -> tuple[PublishedTable, ...]:
    """Every published table: the results first, then the rows as typed."""
    return (
        *(_result_table(name) for name in RESULT_TABLES),
        *(_typed_table(name) for name in TABLES),
    )


def _result_table(name: str) -> PublishedTable:
    schema = _read(name)
    order = schema.pop("orderBy", None) or schema["primaryKey"]
    return _table(name, "results", f'main."{name}"', order, schema)


def _typed_table(name: str) -> PublishedTable:
    schema = json.loads(read_schema_text(name))
    schema["fields"] += _read(TRACE)["fields"]
    return _table(name, "as_typed", f'as_typed."{name}"', ["source_file", "source_row"], schema)


def _table(
    name: str, folder: str, source: str, order: list[str], schema: dict[str, Any]
) -> PublishedTable:
    columns = tuple(_column(field) for field in schema["fields"])
    return PublishedTable(name, folder, source, columns, tuple(order), schema)


def _read(name: str) -> dict[str, Any]:
    text = files("trialpress.dataset").joinpath("schemas", f"{name}.json").read_text("utf-8")
    return dict(json.loads(text))


def _column(field: dict[str, Any]) -> Column:
    constraints = field.get("constraints", {})
    return Column(
        name=field["name"],
        type=field["type"],
        title=say(field["title"]),
        description=say(field["description"]),
        unit=field.get("unit"),
        required=constraints.get("required", False),
        allowed=tuple(constraints.get("enum", ())),
        decimals_from=field.get("decimalsFrom"),
    )
