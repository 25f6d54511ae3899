"""Whether a descriptor's resource agrees with the schema the tool supplies.

In:  a resource of a given descriptor, and our own schema of its table, both as JSON.
Out: each contradiction. What a descriptor leaves out is supplied; what it does say must agree.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

Json = Mapping[str, Any]
_RULED = ("type", "format", "constraints", "trueValues", "falseValues", "missingValues")
_DIALECT: Mapping[str, Sequence[object]] = {
    "delimiter": [","],
    "quoteChar": ['"'],
    "doubleQuote": [True],
    "skipInitialSpace": [False],
    "header": [True],
    "headerRows": [[1]],
    "lineTerminator": ["\n", "\r\n"],
}


@dataclass(frozen=True)
class Contradiction:
    """Which key of the resource disagrees, in what, and which sentence says so."""

    key: str
    value: str
    variant: str


def contradictions(resource: Json, ours: Json) -> Iterator[Contradiction]:
    """Compare a resource's encoding, dialect and schema with the tool's own."""
    encoding = resource.get("encoding", "utf-8")
    if str(encoding).lower().replace("_", "-") not in ("utf-8", "utf8"):
        yield Contradiction("encoding", str(encoding), "format")
    yield from _dialect(resource.get("dialect", {}))
    schema = resource.get("schema", {})
    if not isinstance(schema, dict):
        yield Contradiction("schema", str(schema), "file")
        return
    yield from _keys(schema, ours)
    yield from _fields(schema.get("fields", []), ours)


def _dialect(dialect: object) -> Iterator[Contradiction]:
    if not isinstance(dialect, dict):
        yield Contradiction("dialect", str(dialect), "format")
        return
    for key, value in dialect.items():
        if key == "csv" and isinstance(value, dict):
            yield from _dialect(value)
        elif value not in _DIALECT.get(key, ()):
            yield Contradiction("dialect", f"{key} {json.dumps(value)}", "format")


def _keys(schema: Json, ours: Json) -> Iterator[Contradiction]:
    for key in ("primaryKey", "foreignKeys", "missingValues"):
        given = schema.get(key, ours.get(key))
        listed = [given] if isinstance(given, str) else given
        if listed != ours.get(key):
            yield Contradiction("schema", key, "")
    if schema.get("fieldsMatch", "exact") not in ("exact", ["exact"]):
        yield Contradiction("schema", "fieldsMatch", "")


def _fields(fields: object, ours: Json) -> Iterator[Contradiction]:
    own = {field["name"]: field for field in ours["fields"]}
    for field in fields if isinstance(fields, list) else [fields]:
        name = field.get("name") if isinstance(field, dict) else field
        if not isinstance(name, str) or name not in own or not isinstance(field, dict):
            yield Contradiction("schema", str(name), "renamed")
        elif any(field.get(key) != own[name].get(key) for key in _RULED):
            yield Contradiction("schema", name, "")
