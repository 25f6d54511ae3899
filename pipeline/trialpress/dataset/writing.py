"""The dataset's own order: tables, schemas, methods, descriptions, sums, archive.

In:  an open store with every result table; for an edition its version and its changes.
Out: the dataset folder, and the listing of what is in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from trialpress.dataset.archive import ARCHIVE, SUMS_FILE, sums_text, write_archive
from trialpress.dataset.citation import CITATION_FILE, citation_text
from trialpress.dataset.database import DATABASE_FILE, write_database
from trialpress.dataset.descriptor import (
    LICENCE_FILE,
    dictionary_text,
    home_of,
    json_text,
    package_text,
    version_of,
)
from trialpress.dataset.release import CHANGES_FILE, Release
from trialpress.dataset.settings_file import SETTINGS_FILE, settings_text
from trialpress.dataset.table_files import write_table
from trialpress.dataset.tables import Column, PublishedTable, published_tables
from trialpress.dataset.texts import GUIDE_FILE, guide_text, licence_text
from trialpress.dataset.workbook import WORKBOOK_FILE, write_workbook
from trialpress.editions import PACKAGE_FILE
from trialpress.paths import write_below
from trialpress.store import Store
from trialpress.view import View
from trialpress.view.described import CONTEXT, described_dataset, described_files
from trialpress.words import say

DICTIONARY_FILE = "dictionary.csv"
STRUCTURED_FILE = "dataset.jsonld"


@dataclass(frozen=True)
class DatasetFile:
    """One file; ``name`` is its path inside the dataset folder, with ``/``.

    ``columns`` and ``key`` are those of a table, with its canonical file.
    """

    name: str
    size_bytes: int
    description: str
    columns: tuple[Column, ...] = ()
    key: tuple[str, ...] = ()


DatasetListing = tuple[DatasetFile, ...]
"""All files; the archive, which holds all the others, comes first."""


def write_dataset(store: Store, folder: Path, release: Release | None = None) -> DatasetListing:
    """Write the open dataset of one build.

    Parameters
    ----------
    store : Store
        With the visible rows and all result tables.
    folder : Path
        Where to write; made where absent, and expected to be empty.
    release : Release, optional
        The edition that is made; none for the dataset as it stands.

    Returns
    -------
    DatasetListing
        Every file with its size and what it holds.
    """
    tables = published_tables(_count(store, "setups"))
    described = _described(store, tables, release)
    for name, text in _texts(store, tables, release).items():
        write_below(folder, name, text.encode("utf-8"))
    for table in tables:
        (folder / table.folder).mkdir(exist_ok=True)
        write_table(store.connection, table, folder)
    if release:
        as_text = [table for table in tables if not table.is_parquet_only]
        write_database(store.connection, as_text, folder)
        write_workbook(store.connection, as_text, folder)
    _write_descriptions(store, tables, folder, release, described)
    summed = sorted(set(described) - {SUMS_FILE})
    write_below(folder, SUMS_FILE, sums_text(folder, summed).encode("utf-8"))
    write_archive(folder, sorted(described))
    listed = {ARCHIVE: say("Everything below in one archive."), **described}
    of_table = {table.files[0]: table for table in tables}
    return tuple(_file(folder, name, words, of_table.get(name)) for name, words in listed.items())


def _count(store: Store, table: str) -> int:
    ((count,),) = store.rows(f"select count(*) from {table}")  # noqa: S608 -- our own names
    return int(count)


def _texts(
    store: Store, tables: Sequence[PublishedTable], release: Release | None
) -> dict[str, str]:
    """Every file that is no table and describes no other file, by its name."""
    rows = {table.name: _count(store, table.source) for table in tables}
    version, home = version_of(store, release), home_of(store, release)
    return {
        GUIDE_FILE: guide_text(store, tables, rows, is_edition=release is not None),
        LICENCE_FILE: licence_text(store),
        CITATION_FILE: citation_text(store.settings, store.as_of, version, home),
        SETTINGS_FILE: settings_text(store.settings),
        DICTIONARY_FILE: dictionary_text(tables),
        **({CHANGES_FILE: release.changes} if release else {}),
        **{table.schema_file: json_text(table.schema) for table in tables},
        **{_method_file(name): text for name, text in sorted(store.methods.items())},
    }


def _write_descriptions(
    store: Store,
    tables: Sequence[PublishedTable],
    folder: Path,
    release: Release | None,
    described: dict[str, str],
) -> None:
    """Write what describes other files, by their sizes and sums."""
    package = package_text(store, tables, folder, release)
    write_below(folder, PACKAGE_FILE, package.encode("utf-8"))
    home = home_of(store, release)
    written = [name for name in described if (folder / name).is_file()]
    files = [(name, (folder / name).stat().st_size, described[name]) for name in written]
    block = {
        "@context": CONTEXT,
        **described_dataset(View(store), home),
        "version": version_of(store, release),
        "distribution": described_files("", files),
    }
    write_below(folder, STRUCTURED_FILE, json_text(block).encode("utf-8"))


def _described(
    store: Store, tables: Sequence[PublishedTable], release: Release | None
) -> dict[str, str]:
    """Every file of the dataset with one sentence, in the order a reader meets them."""
    return {
        GUIDE_FILE: say("What is here, how to load it, how to read it."),
        **(_described_of_edition() if release else {}),
        DICTIONARY_FILE: say("Every column of every table with its unit and meaning."),
        PACKAGE_FILE: say("The whole dataset described for machines, as a Data Package."),
        LICENCE_FILE: say("What you may do with the data."),
        CITATION_FILE: say("How to cite the data, for programs that collect citations."),
        STRUCTURED_FILE: say("The dataset described for search engines."),
        SETTINGS_FILE: say("The settings that the figures depend on."),
        SUMS_FILE: say("The SHA-256 sum of every other file."),
        **{file: table.description for table in tables for file in table.files},
        **{
            table.schema_file: say("Table Schema of {table}.", table=table.name) for table in tables
        },
        **{
            _method_file(name): say("How a run of {protocol} is made.", protocol=name)
            for name in sorted(store.methods)
        },
    }


def _described_of_edition() -> dict[str, str]:
    """What an edition has beside what every build writes; it takes longer to write."""
    return {
        CHANGES_FILE: say("What changed since the edition before."),
        DATABASE_FILE: say("The tables in one SQLite file."),
        WORKBOOK_FILE: say("The small tables as a workbook for spreadsheets."),
    }


def _method_file(protocol: str) -> str:
    return f"methods/{protocol}.md"


def _file(folder: Path, name: str, description: str, table: PublishedTable | None) -> DatasetFile:
    size = (folder / name).stat().st_size
    if table is None:
        return DatasetFile(name, size, description)
    return DatasetFile(name, size, description, table.columns, table.key)
