"""The dataset's own order: tables, schemas, methods, descriptions, archive.

In:  an open store with every result table.
Out: the dataset folder, and the listing of what is in it.
"""

from __future__ import annotations

from pathlib import Path

from trialpress.dataset.archive import ARCHIVE, write_archive
from trialpress.dataset.descriptor import (
    LICENCE_FILE,
    dictionary_text,
    json_text,
    package_text,
)
from trialpress.dataset.listing import DatasetFile, DatasetListing
from trialpress.dataset.table_files import write_table
from trialpress.dataset.tables import PublishedTable, published_tables
from trialpress.dataset.texts import GUIDE_FILE, guide_text, licence_text
from trialpress.paths import write_below
from trialpress.store import Store
from trialpress.words import say

PACKAGE_FILE = "datapackage.json"
DICTIONARY_FILE = "dictionary.csv"


def write_dataset(store: Store, folder: Path) -> DatasetListing:
    """Write the open dataset of one build.

    Parameters
    ----------
    store : Store
        With the visible rows and all result tables.
    folder : Path
        Where to write; made where absent, and expected to be empty.

    Returns
    -------
    DatasetListing
        Every file with its size and what it holds.
    """
    tables = published_tables()
    texts = _texts(store, tables)
    for name, text in texts.items():
        write_below(folder, name, text.encode("utf-8"))
    for table in tables:
        (folder / table.folder).mkdir(exist_ok=True)
        write_table(store.connection, table, folder)
    described = _described(store, tables)
    write_archive(folder, sorted(described))
    listed = {ARCHIVE: say("Everything below in one archive."), **described}
    return tuple(_file(folder, name, said) for name, said in listed.items())


def _texts(store: Store, tables: tuple[PublishedTable, ...]) -> dict[str, str]:
    """Every file that is no table, by its name."""
    rows = {table.name: len(store.connection.table(table.source)) for table in tables}
    return {
        GUIDE_FILE: guide_text(store, tables, rows),
        LICENCE_FILE: licence_text(store),
        PACKAGE_FILE: package_text(store, tables),
        DICTIONARY_FILE: dictionary_text(tables),
        **{table.schema_file: json_text(table.schema) for table in tables},
        **{_method_file(name): text for name, text in sorted(store.methods.items())},
    }


def _described(store: Store, tables: tuple[PublishedTable, ...]) -> dict[str, str]:
    """Every file of the dataset with one sentence, in the order a reader meets them."""
    return {
        GUIDE_FILE: say("What is here, how to load it, how to read it."),
        DICTIONARY_FILE: say("Every column of every table with its unit and meaning."),
        PACKAGE_FILE: say("The whole dataset described for machines, as a Data Package."),
        LICENCE_FILE: say("What you may do with the data."),
        **{file: table.description for table in tables for file in (table.csv, table.parquet)},
        **{
            table.schema_file: say("Table Schema of {table}.", table=table.name) for table in tables
        },
        **{
            _method_file(name): say("How a run of {protocol} is made.", protocol=name)
            for name in sorted(store.methods)
        },
    }


def _method_file(protocol: str) -> str:
    return f"methods/{protocol}.md"


def _file(folder: Path, name: str, description: str) -> DatasetFile:
    return DatasetFile(name, (folder / name).stat().st_size, description)
