"""The words of the dataset: its guide and its licence note.

In:  what the bench says of itself, and the published tables with their numbers of rows.
Out: the text of ``README.md`` and of ``LICENCE.txt``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib.resources import files
from string import Template

from trialpress.dataset.descriptor import LICENCE_FILE, LICENCE_ID
from trialpress.dataset.tables import PublishedTable
from trialpress.store import Store

GUIDE_FILE = "README.md"


def guide_text(store: Store, tables: Sequence[PublishedTable], rows: Mapping[str, int]) -> str:
    """The dataset's ``README.md``; ``rows`` says how many rows the table of a name has."""
    settings = store.settings
    return _fill(
        GUIDE_FILE,
        name=settings.name,
        notice=settings.notice or "",
        as_of=store.as_of.isoformat(),
        rows=f"{sum(rows.values()):,}",
        tables=str(len(rows)),
        base_url=settings.base_url,
        table_list=_table_list(tables, rows),
        confidence=f"{settings.confidence:.0%}",
        time_zone=settings.time_zone,
        disclosure=settings.disclosure,
        contact=settings.contact,
    )


def licence_text(store: Store) -> str:
    """The dataset's ``LICENCE.txt``."""
    settings = store.settings
    return _fill(
        LICENCE_FILE,
        name=settings.name,
        licence=settings.licence,
        where=_where(settings.licence),
        as_of=store.as_of.isoformat(),
        base_url=settings.base_url,
    )


def _where(licence: str) -> str:
    if LICENCE_ID.fullmatch(licence) is None:
        return ""
    return f"Its text: https://spdx.org/licenses/{licence}.html\n"


def _table_list(tables: Sequence[PublishedTable], rows: Mapping[str, int]) -> str:
    lines = [
        f"| `{table.folder}/{table.name}` | {rows[table.name]:,} | {table.description} |"
        for table in tables
    ]
    return "\n".join(["| table | rows | what it holds |", "|---|---|---|", *lines])


def _fill(file: str, **words: str) -> str:
    text = files("trialpress.dataset").joinpath("texts", file).read_text("utf-8")
    return Template(text).substitute(words)
