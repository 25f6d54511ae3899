"""The open store: one DuckDB file and what the bench says of itself.

In:  SQL, as text or from the ``.sql`` files that lie beside each stage.
Out: frames, or records of a frozen dataclass whose fields are the columns.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date
from importlib import resources
from types import NoneType
from typing import Any, TypeVar, cast, get_args, get_type_hints

import duckdb
import pandas as pd

from trialpress.bench import Settings
from trialpress.intake import Finding

Record = TypeVar("Record")
Key = TypeVar("Key", bound=Hashable)


@dataclass(frozen=True)
class Store:
    """Everything visible on one date; the stages to the right read nothing else.

    ``methods`` holds the method text of each visible protocol that has one, ``findings`` the
    warnings that speak of nothing hidden.
    """

    connection: duckdb.DuckDBPyConnection
    settings: Settings
    as_of: date
    methods: Mapping[str, str]
    findings: tuple[Finding, ...] = ()

    def frame(self, sql: str, parameters: Sequence[object] = ()) -> pd.DataFrame:
        """The rows of one query as a frame."""
        return self.connection.execute(sql, list(parameters)).df()

    def records(
        self, kind: type[Record], sql: str, parameters: Sequence[object] = ()
    ) -> list[Record]:
        """The rows of one query as records of ``kind``; NULL becomes None.

        Raises
        ------
        ValueError
            If the query's columns are not the fields of ``kind``.
        """
        cursor = self.connection.execute(sql, list(parameters))
        columns = [column[0] for column in cursor.description or []]
        wanted = [field.name for field in fields(cast("Any", kind))]
        if sorted(columns) != sorted(wanted):
            message = f"{kind.__name__} has the fields {wanted}, the query gives {columns}"
            raise ValueError(message)
        return [kind(**dict(zip(columns, row, strict=True))) for row in cursor.fetchall()]

    def write(self, table: str, frame: pd.DataFrame) -> None:
        """Keep a frame as a table of the store, in the order of its rows."""
        self.connection.register("incoming", frame)
        self.connection.execute(f'create or replace table "{table}" as from incoming')
        self.connection.unregister("incoming")

    def write_records(self, table: str, kind: type[Record], rows: Sequence[Record]) -> None:
        """Keep records as a table of the store, columns typed as the fields of ``kind`` are."""
        columns, typed = _typed_columns(kind)
        values = [tuple(getattr(row, name) for name in columns) for row in rows]
        frame = pd.DataFrame(values, columns=columns, dtype=object)
        self.connection.register("incoming", frame)
        self.connection.execute(
            f'create or replace table "{table}" as select {typed} from incoming'
        )
        self.connection.unregister("incoming")

    def write_frames(self, table: str, kind: type[object], frames: Iterable[pd.DataFrame]) -> None:
        """Keep frames, one below the other, as one table with the columns of ``kind``.

        For tables too long to have a record a row; NaN becomes NULL.
        """
        self.write_records(table, kind, [])
        _, typed = _typed_columns(kind)
        for frame in frames:
            self.connection.register("incoming", frame)
            self.connection.execute(f'insert into "{table}" select {typed} from incoming')
            self.connection.unregister("incoming")


def _typed_columns(kind: type[object]) -> tuple[list[str], str]:
    """The names of a record's fields, and what selects them with their SQL types."""
    hints = get_type_hints(kind)
    columns = [field.name for field in fields(cast("Any", kind))]
    typed = ", ".join(f'"{name}"::{_sql_type(hints[name])} as "{name}"' for name in columns)
    return columns, typed


def _sql_type(hint: object) -> str:
    """The SQL type of a field's annotation; ``float | None`` is as good as ``float``."""
    (kind,) = [part for part in (get_args(hint) or (hint,)) if part is not NoneType]
    return {str: "varchar", int: "bigint", float: "double", bool: "boolean", date: "date"}[kind]


def read_sql(package: str, name: str) -> str:
    """The text of ``name`` (such as ``queries/machine.sql``) beside the code of ``package``."""
    return (resources.files(package) / name).read_text(encoding="utf-8")


def grouped(
    records: Iterable[Record], key: Callable[[Record], Key]
) -> Mapping[Key, Sequence[Record]]:
    """Records by key, groups and records in the order they came in."""
    groups: dict[Key, list[Record]] = {}
    for record in records:
        groups.setdefault(key(record), []).append(record)
    return groups
