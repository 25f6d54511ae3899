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
from pathlib import Path
from typing import Any

from trialpress.dataset.archive import sum_of
from trialpress.dataset.release import Release, this_program
from trialpress.dataset.tables import Column, PublishedTable
from trialpress.editions import DATA_PAGE, edition_url
from trialpress.store import Store
from trialpress.words import say

LICENCE_FILE = "LICENCE.txt"
PARQUET = "application/vnd.apache.parquet"
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


def package_text(
    store: Store, tables: Sequence[PublishedTable], folder: Path, release: Release | None
) -> str:
    """The text of ``datapackage.json``, a Data Package 2.0 of the canonical files in ``folder``."""
    settings = store.settings
    program = this_program()
    package = {
        "$schema": PROFILE,
        "name": "trialpress-dataset",
        "id": home_of(store, release),
        "title": settings.name,
        "description": settings.notice or settings.disclosure,
        "version": version_of(store, release),
        "created": f"{store.as_of.isoformat()}T00:00:00Z",
        "homepage": settings.base_url,
        "licenses": [_licence(settings.licence)],
        "contributors": [{"title": settings.name, "roles": ["creator"]}],
        "sources": [
            {"title": say("Runs on the bench of {name}", name=settings.name)},
            {"title": say("Claims: the spec sheets that as_typed/claims.csv names")},
        ],
        "asOf": store.as_of.isoformat(),
        "timeZone": settings.time_zone,
        "confidence": settings.confidence,
        "topN": settings.top_n,
        "singleRuns": settings.single_runs,
        "overall": settings.overall,
        "program": {"version": program.version, "fingerprint": program.fingerprint},
        "resources": [_resource(table, folder) for table in tables],
    }
    return json_text(package)


def version_of(store: Store, release: Release | None) -> str:
    """The version of an edition; of what is no edition the date."""
    return release.version if release else store.as_of.isoformat()


def home_of(store: Store, release: Release | None) -> str:
    """The page that describes an edition; of what is no edition the page of the data."""
    page = edition_url(release.version) if release else DATA_PAGE
    return store.settings.base_url + page


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


def _resource(table: PublishedTable, folder: Path) -> dict[str, Any]:
    path = table.files[0]
    resource = {
        "name": table.name,
        "path": path,
        "title": table.title,
        "description": table.description,
        "encoding": "utf-8",
        "bytes": (folder / path).stat().st_size,
        "hash": f"sha256:{sum_of(folder / path)}",
    }
    if table.is_parquet_only:
        return resource | {"format": "parquet", "mediatype": PARQUET, "type": "file"}
    return resource | {
        "type": "table",
        "format": "csv",
        "mediatype": "text/csv",
        "dialect": {"delimiter": ",", "lineTerminator": "\n", "header": True},
        "schema": table.schema_file,
        "parquet": table.parquet,
    }
