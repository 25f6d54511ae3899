"""The dataset's machine-readable description: a Data Package and a data dictionary.

In:  the published tables and what the bench says of itself.
Out: the JSON of ``datapackage.json`` and the rows of ``dictionary.csv``.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from trialpress.dataset.tables import Column, PublishedTable
from trialpress.store import Store

LICENCE_FILE = "LICENCE.txt"
PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
LICENCE_ID = re.compile(r"[-a-zA-Z0-9._]+")
DICTIONARY_HEADER = (
    "folder",
    "table",
    "column",
    "title",
    "type",
    "unit",
    "required",
    "allowed",
    "description",
)


def package_text(store: Store, tables: Sequence[PublishedTable]) -> str:
    """The text of ``datapackage.json``, a Data Package 2.0 of the CSV files."""
    settings = store.settings
    package = {
        "$schema": PROFILE,
        "name": "trialpress-dataset",
        "title": settings.name,
        "description": settings.notice or settings.disclosure,
        "version": store.as_of.isoformat(),
        "homepage": settings.base_url,
        "licenses": [_licence(settings.licence)],
        "contributors": [{"title": settings.name, "roles": ["creator"]}],
        "asOf": store.as_of.isoformat(),
        "timeZone": settings.time_zone,
        "confidence": settings.confidence,
        "topN": settings.top_n,
        "singleRuns": settings.single_runs,
        "overall": settings.overall,
        "resources": [_resource(table) for table in tables],
    }
    return json_text(package)


def json_text(value: Mapping[str, Any]) -> str:
    """JSON as every file of the dataset has it."""
    return json.dumps(value, indent=2, ensure_ascii=False) + "\n"


def dictionary_text(tables: Iterable[PublishedTable]) -> str:
    """The text of ``dictionary.csv``: one row a column of a table."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(DICTIONARY_HEADER)
    for table in tables:
        for column in table.columns:
            writer.writerow(_entry(table, column))
    return stream.getvalue()


def _entry(table: PublishedTable, column: Column) -> tuple[str, ...]:
    return (
        table.folder,
        table.name,
        column.name,
        column.title,
        column.type,
        column.unit or "",
        str(column.required).lower(),
        "; ".join(column.allowed),
        column.description,
    )


def _licence(name: str) -> dict[str, str]:
    """A licence by its identifier where it has one; a licence in words cannot be a name."""
    named = {"name": name} if LICENCE_ID.fullmatch(name) else {"title": name}
    return {**named, "path": LICENCE_FILE}


def _resource(table: PublishedTable) -> dict[str, Any]:
    return {
        "name": table.name,
        "type": "table",
        "path": table.csv,
        "title": table.title,
        "description": table.description,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "dialect": {"delimiter": ",", "lineTerminator": "\n", "header": True},
        "schema": table.schema_file,
        "parquet": table.parquet,
    }
