"""The tables of a dataset in each of its formats, read as values.

In:  a dataset folder that nobody trusts, and its ``datapackage.json``.
Out: where a cell differs between the CSV file, which is canonical, and Parquet, SQLite or the
     workbook.
"""

from __future__ import annotations

import csv
import json
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Any

import duckdb

from trialpress.dataset.database import DATABASE_FILE
from trialpress.dataset.tables import AS_TYPED
from trialpress.dataset.workbook import WORKBOOK_FILE
from trialpress.desk.verify.differences import Cell, Difference, differences, keyed
from trialpress.errors import FaultyDataError
from trialpress.intake.textfile import named_rows
from trialpress.ordinary_file import read_ordinary

MOST_TABLE_BYTES = 1 << 29
MOST_STEPS = 20_000_000  # of SQLite, on one table


class WrongTableError(FaultyDataError):
    """A file of a dataset is not the table it should be."""

    def __init__(self, file: str, reason: str) -> None:
        super().__init__(f"{file} cannot be read: {reason}.")


@dataclass(frozen=True)
class HeldTable:
    """One table in a dataset folder, as the dataset's own package describes it.

    ``is_parquet_only`` where it is too large for the other formats.
    """

    folder: Path
    name: str
    kind: str
    schema: Mapping[str, Any]
    is_parquet_only: bool = False

    @property
    def csv_name(self) -> str:
        """Its CSV file below the dataset."""
        return f"{self.kind}/{self.name}.csv"

    @property
    def parquet_name(self) -> str:
        """Its Parquet file below the dataset."""
        return f"{self.kind}/{self.name}.parquet"

    @property
    def parquet(self) -> Path:
        """Its Parquet file."""
        return self.folder / self.kind / f"{self.name}.parquet"

    @property
    def rows(self) -> int:
        """How many rows its canonical file has.

        Raises
        ------
        WrongTableError
            If that cannot be read.
        """
        if not self.is_parquet_only:
            return len(self.texts)
        try:
            return len(duckdb.read_parquet(str(self.parquet)))
        except duckdb.Error as error:
            raise WrongTableError(self.parquet_name, first_line(error)) from None

    @property
    def types(self) -> Mapping[str, str]:
        """The type of each column."""
        return {field["name"]: field["type"] for field in self.schema["fields"]}

    @property
    def key(self) -> Sequence[str]:
        """The columns that name a row; all of them where the schema names none."""
        return list(self.schema.get("primaryKey") or self.types)

    @cached_property
    def texts(self) -> Sequence[Mapping[str, str]]:
        """The rows of the CSV file as text.

        Raises
        ------
        WrongTableError
            If it is no table of these columns.
        """
        file = self.folder / self.csv_name
        try:
            text = read_ordinary(file, most=MOST_TABLE_BYTES).decode("utf-8")
            header, rows = named_rows(text)
        except (OSError, ValueError, csv.Error) as error:
            raise WrongTableError(self.csv_name, str(error)) from None
        if set(header) != set(self.types):
            raise WrongTableError(self.csv_name, "its header is not that of its schema")
        return rows

    @cached_property
    def values(self) -> dict[str, Mapping[str, Cell]]:
        """The rows of the CSV file as values, by key."""
        types = self.types
        typed = [
            {column: _value(cell, types[column], self.csv_name) for column, cell in row.items()}
            for row in self.texts
        ]
        return keyed(typed, self.key)


def held_tables(folder: Path, package: Mapping[str, Any]) -> tuple[HeldTable, ...]:
    """The tables that a dataset describes.

    Raises
    ------
    WrongTableError
        If the description is damaged.
    """
    tables = []
    try:
        for resource in package["resources"]:
            kind, _, file = str(resource["path"]).partition("/")
            name, _, form = file.rpartition(".")
            if form in {"csv", "parquet"}:
                schema = json.loads((folder / "schemas" / f"{name}.json").read_bytes())
                table = HeldTable(folder, name, kind, schema, form == "parquet")
                assert_sound(table)
                tables.append(table)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise WrongTableError("datapackage.json", f"it describes no tables ({error})") from None
    return tuple(tables)


def assert_sound(table: HeldTable) -> None:
    """Touch what a description must have; names become parts of queries and of paths.

    Raises
    ------
    ValueError
        If a name is none.
    """
    names = [table.name, *table.types, *table.key]
    if not all(isinstance(n, str) and n.isidentifier() and n.isascii() for n in names):
        raise ValueError(table.name)
    if table.kind not in {AS_TYPED, "results"}:
        raise ValueError(table.kind)


def format_differences(tables: Sequence[HeldTable]) -> Iterator[Difference]:
    """Where the other formats of tables say something else than their CSV files."""
    with duckdb.connect(config={"threads": 1}) as connection:
        for table in tables:
            if not table.is_parquet_only:
                yield from _format_differences(table, connection)


def _format_differences(
    table: HeldTable, connection: duckdb.DuckDBPyConnection
) -> Iterator[Difference]:
    others = {
        "in Parquet": _parquet_rows(table, connection),
        "in SQLite": _sqlite_rows(table),
        "in the workbook": _sheet_rows(table),
    }
    for words, rows in others.items():
        if rows is not None:
            found = keyed(rows, table.key)
            yield from differences(table.csv_name, table.values, found, ("in CSV", words))


def _value(text: str, kind: str, file: str) -> Cell:
    if text == "":
        return None
    try:
        if kind == "integer":
            return int(text)
        if kind == "number":
            return float(text)
    except ValueError:
        raise WrongTableError(file, f"{text!r} is no {kind}") from None
    return text == "true" if kind == "boolean" else text


def _parquet_rows(
    table: HeldTable, connection: duckdb.DuckDBPyConnection
) -> list[dict[str, Cell]] | None:
    if not table.parquet.is_file():
        return None
    try:
        relation = connection.read_parquet(str(table.parquet))
        return [_row(relation.columns, row) for row in relation.fetchall()]
    except duckdb.Error as error:
        raise WrongTableError(table.parquet.name, first_line(error)) from None


def first_line(error: duckdb.Error) -> str:
    """What is wrong, without the query."""
    return str(error).partition("\n")[0]


def _row(columns: Sequence[str], cells: Sequence[Any]) -> dict[str, Cell]:
    return {
        column: cell.isoformat() if isinstance(cell, date) else cell
        for column, cell in zip(columns, cells, strict=True)
    }


def _sqlite_rows(table: HeldTable) -> list[dict[str, Cell]] | None:
    file = table.folder / DATABASE_FILE
    if not file.is_file():
        return None
    name = f"{table.name}_as_typed" if table.kind == AS_TYPED else table.name
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True)) as database:
            database.execute("pragma trusted_schema = off")
            database.set_progress_handler(lambda: 1, MOST_STEPS)
            columns = list(table.types)
            listed = ", ".join(f'"{column}"' for column in columns)
            rows = database.execute(f'select {listed} from "{name}"').fetchall()  # noqa: S608
    except sqlite3.Error as error:
        raise WrongTableError(f"{DATABASE_FILE}, {name}", str(error)) from None
    return [_truths(dict(zip(columns, row, strict=True)), table.types) for row in rows]


def _truths(row: dict[str, Cell], types: Mapping[str, str]) -> dict[str, Cell]:
    """A row with its 0 and 1 as truth values."""
    return {
        column: bool(cell) if types[column] == "boolean" and cell is not None else cell
        for column, cell in row.items()
    }


def _sheet_rows(table: HeldTable) -> list[dict[str, Cell]] | None:
    from python_calamine import CalamineError, CalamineWorkbook  # noqa: PLC0415

    file = table.folder / WORKBOOK_FILE
    if not file.is_file():
        return None
    try:
        book = CalamineWorkbook.from_path(str(file))
        if table.name not in book.sheet_names:
            return None
        header, *rows = book.get_sheet_by_name(table.name).to_python()
        return [
            {
                str(column): _cell(cell, table.types.get(str(column), "string"))
                for column, cell in zip(header, row, strict=True)
            }
            for row in rows
        ]
    except (CalamineError, ValueError, OSError) as error:
        raise WrongTableError(f"{WORKBOOK_FILE}, {table.name}", str(error)) from None


def _cell(cell: Any, kind: str) -> Cell:  # noqa: ANN401
    """A cell of a sheet by its column's type: a sheet has one kind of number, and no blank."""
    if cell == "":
        return None
    if isinstance(cell, date):
        return cell.isoformat()[:10]
    if kind == "integer" and isinstance(cell, float) and cell.is_integer():
        return int(cell)
    return cell if isinstance(cell, bool | int | float) else str(cell)
