"""The words of the dataset: its guide and its licence note.

In:  what the bench says of itself, and the published tables with their numbers of rows.
Out: the text of ``README.md`` and of ``LICENCE.txt``. How they are laid out stands in ``texts``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib.resources import files
from string import Template

from trialpress.dataset.descriptor import LICENCE_FILE, LICENCE_ID
from trialpress.dataset.tables import PublishedTable
from trialpress.editions.loading import RECIPE_SQL, database_line, load_lines, recipe_pandas
from trialpress.store import Store
from trialpress.words import figures, say

GUIDE_FILE = "README.md"


def guide_text(
    store: Store,
    tables: Sequence[PublishedTable],
    rows: Mapping[str, int],
    *,
    is_edition: bool = False,
) -> str:
    """The dataset's ``README.md``; ``rows`` says how many rows the table of a name has."""
    settings = store.settings
    return _fill(
        GUIDE_FILE,
        title=say("{name}: the dataset", name=settings.name),
        notice=settings.notice or "",
        extent=_extent(store, rows) + _large_tables(tables),
        the_tables=say("The tables"),
        table_list=_table_list(tables, rows),
        how_come_by=say("How the machines were come by"),
        disclosure=settings.disclosure,
        how_to_cite=say("How to cite it"),
        source=_source(store),
        questions=say("Questions and faults: {contact}", contact=settings.contact),
        **_words_on_files(),
        **_words_on_loading(is_edition=is_edition),
        of_edition=_files_of_edition() if is_edition else "",
        **_words_on_reading(store),
    )


def licence_text(store: Store) -> str:
    """The dataset's ``LICENCE.txt``."""
    name, licence = store.settings.name, store.settings.licence
    return _fill(
        LICENCE_FILE,
        # For translators: break the line wherever it suits.
        permission=say(
            "The data and texts in this folder are published by {name}\n"
            "under the licence {licence}.",
            name=name,
            licence=licence,
        ),
        where=_where(licence),
        source=say("Name the source as: {source}", source=_source(store)),
    )


def _extent(store: Store, rows: Mapping[str, int]) -> str:
    # For translators: break the line wherever it suits.
    return say(
        "As of {as_of}. {rows} rows in {tables} tables, each as CSV and as Parquet, with the same "
        "rows in the same\norder. Home: {address}",
        as_of=store.as_of.isoformat(),
        rows=_whole(sum(rows.values())),
        tables=len(rows),
        address=store.settings.base_url,
    )


def _large_tables(tables: Sequence[PublishedTable]) -> str:
    """Blank, or which tables are too large for more than one format."""
    large = [table.name for table in tables if table.is_parquet_only]
    if not large:
        return ""
    # For translators: break the line wherever it suits.
    words = say(
        "Too large for the other formats, and so Parquet alone: {tables}.",
        tables=figures.listing(large),
    )
    return f"\n{words}"


def _source(store: Store) -> str:
    return say(
        "{name}, dataset as of {as_of}, {address}",
        name=store.settings.name,
        as_of=store.as_of.isoformat(),
        address=store.settings.base_url,
    )


def _words_on_files() -> dict[str, str]:
    return {
        "what_is_here": say("What is here"),
        "file": say("folder or file"),
        "holds": say("what it holds"),
        "results": say("what was worked out: values of runs, cells, standings, comparisons"),
        "as_typed": say(
            "the rows as they were typed at the bench, with the digits the balance showed"
        ),
        "methods": say("how the runs of each protocol are made"),
        "schemas": say("a Table Schema for each table: columns, units, allowed values, keys"),
        "dictionary": say("every column of every table with its unit and meaning"),
        "package": say("all of it as a Data Package"),
        "licence": say("what you may do with it"),
        "for_programs": say("how to cite it, and what it is, for programs"),
        "settings": say("the settings that the figures depend on"),
        "sums": say("a sum of every other file: `sha256sum --check SHA256SUMS`"),
    }


def _files_of_edition() -> str:
    """Lines of the list of files that only an edition has."""
    words_of_file = {
        "CHANGES.md": say("what changed since the edition before"),
        "dataset.sqlite": say(
            "the tables in one SQLite file: rows as typed under the name of the table with "
            "`_as_typed`, and under the name itself as corrected"
        ),
        "small-tables.xlsx": say("the small tables as a workbook for spreadsheets"),
    }
    return "".join(f"| `{file}` | {words} |\n" for file, words in words_of_file.items())


def _words_on_loading(*, is_edition: bool) -> dict[str, str]:
    lines = [*load_lines(""), *([database_line()] if is_edition else [])]
    recipes = [recipe_pandas("").rstrip(), *([RECIPE_SQL.rstrip()] if is_edition else [])]
    languages = ("python", "sql")
    return {
        "load_it": say("Load it in one line"),
        "paths": say(
            "The paths are relative to this folder; the address of the home page followed by "
            "`dataset/` does as well."
        ),
        "load_lines": "\n\n".join(_code(line.language, line.code) for line in lines),
        "means_again": say("The means again"),
        "recipes": "\n\n".join(map(_code, languages, recipes)),
    }


def _code(language: str, code: str) -> str:
    return f"```{language}\n{code}\n```"


def _words_on_reading(store: Store) -> dict[str, str]:
    """One item of a list each."""
    settings = store.settings
    return {
        "how_to_read": say("How to read it"),
        # For translators: break the line wherever it suits, and indent the next by two.
        "by_series": say(
            "Results are kept per series: protocol versions that stay comparable. `version` in a "
            "result table is\n  the newest version of the series, and `series` says which versions "
            "it covers."
        ),
        "intervals": say(
            "Intervals are two-sided at {confidence}%. Places that the data cannot rule out stand "
            "beside each place.",
            confidence=figures.typed_number(round(settings.confidence * 100, 6)),
        ),
        "figures": say(
            "A percentage is 0 to 100, a chance 0 to 1. Blank means that there is no such figure, "
            "never zero."
        ),
        # For translators: break the line wherever it suits, and indent the next by two.
        "rows_as_typed": say(
            "Rows in `as_typed/` are never edited. `as_typed/corrections.csv` says what was put "
            "right later; the\n  results follow the corrected values. `source_file` and "
            "`source_row` say where each row was typed."
        ),
        "left_out": say("Runs that are void or planned are in `as_typed/` and enter no result."),
        "times": say("Times are local to the bench ({time_zone}).", time_zone=settings.time_zone),
    }


def _where(licence: str) -> str:
    if LICENCE_ID.fullmatch(licence) is None:
        return ""
    address = f"https://spdx.org/licenses/{licence}.html"
    return say("Its text: {address}", address=address) + "\n"


def _table_list(tables: Sequence[PublishedTable], rows: Mapping[str, int]) -> str:
    heads = " | ".join((say("table"), say("rows"), say("what it holds")))
    lines = [
        f"| `{table.folder}/{table.name}` | {_whole(rows[table.name])} | {table.description} |"
        for table in tables
    ]
    return "\n".join([f"| {heads} |", "|---|---|---|", *lines])


def _whole(number: int) -> str:
    return figures.plain(f"{number:,}")


def _fill(file: str, /, **words: str) -> str:
    text = files("trialpress.dataset").joinpath("texts", file).read_text("utf-8")
    return Template(text).substitute(words)
