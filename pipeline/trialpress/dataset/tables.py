"""Which tables are published, and what each of their columns means.

In:  the bench's own schemas, and ``schemas/<table>.json`` of the result tables.
Out: every published table, in the order a reader meets them.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
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
    "agreements",
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
MOST_SETUPS_AS_TEXT = 500
"""With more set-ups, comparisons (their number grows with its square) are Parquet alone."""
RESULTS = "results"
AS_TYPED = "as_typed"


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
    """One table of the dataset: where it comes from, where it goes, and its Table Schema.

    ``is_parquet_only`` where it would be too large as text.
    """

    name: str
    folder: str
    source: str
    columns: tuple[Column, ...]
    order: tuple[str, ...]
    schema: Mapping[str, Any]
    is_parquet_only: bool = False

    @property
    def csv(self) -> str:
        """The table's CSV file, relative to the dataset."""
        return f"{self.folder}/{self.name}.csv"

    @property
    def parquet(self) -> str:
        """The table's Parquet file, relative to the dataset."""
        return f"{self.folder}/{self.name}.parquet"

    @property
    def key(self) -> tuple[str, ...]:
        """The columns that tell its rows apart; none where the schema names none."""
        return tuple(self.schema.get("primaryKey", ()))

    @property
    def files(self) -> tuple[str, ...]:
        """Its files, the canonical one first."""
        return (self.parquet,) if self.is_parquet_only else (self.csv, self.parquet)

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


def published_tables(setups: int = 0) -> tuple[PublishedTable, ...]:
    """Every published table of a bench with so many set-ups: results first, then rows as typed."""
    results = (_result_table(name) for name in RESULT_TABLES)
    large = {"comparisons"} if setups > MOST_SETUPS_AS_TEXT else set()
    return (
        *(replace(table, is_parquet_only=table.name in large) for table in results),
        *(_typed_table(name) for name in TABLES),
    )


def _result_table(name: str) -> PublishedTable:
    schema = _read(name)
    order = schema.pop("orderBy", None) or schema["primaryKey"]
    return _table(name, RESULTS, f'main."{name}"', order, schema)


def _typed_table(name: str) -> PublishedTable:
    schema = json.loads(read_schema_text(name))
    schema["fields"] += _read(TRACE)["fields"]
    source = f'{AS_TYPED}."{name}"'
    return _table(name, AS_TYPED, source, ["source_file", "source_row"], schema)


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
