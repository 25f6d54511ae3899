"""The open store: one DuckDB file and what the bench says of itself.

In:  SQL, as text or from the ``.sql`` files that lie beside each stage.
Out: rows, columns, or records of a frozen dataclass whose fields are the columns.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, fields
from datetime import date
from importlib import resources
from types import NoneType
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar, cast, get_args, get_type_hints

import duckdb
import numpy as np
from numpy.typing import NDArray

from trialpress.bench import Settings
from trialpress.intake import Finding

if TYPE_CHECKING:
    import pandas as pd

    Frame: TypeAlias = pd.DataFrame | Mapping[str, NDArray[Any]]
    """Columns of one length."""

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

    def rows(self, sql: str, parameters: Sequence[object] = ()) -> list[tuple[Any, ...]]:
        """The rows of one query; NULL becomes None."""
        return self.connection.execute(sql, list(parameters)).fetchall()

    def columns(self, sql: str) -> Mapping[str, NDArray[Any]]:
        """The rows of one query by column; NULL becomes NaN in numbers, and None elsewhere."""
        found = self.connection.execute(sql).fetchnumpy()
        return {name: _filled(np.asanyarray(column)) for name, column in found.items()}

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

    def write(self, table: str, columns: Mapping[str, NDArray[Any]]) -> None:
        """Keep columns as a table of the store, in the order of their rows; NaN becomes NULL."""
        with incoming(self.connection, columns) as source:
            self.connection.execute(f'create or replace table "{table}" as from {source}')

    def write_records(self, table: str, kind: type[Record], rows: Sequence[Record]) -> None:
        """Keep records as a table of the store, columns typed as the fields of ``kind`` are."""
        names, typed = _typed_columns(kind)
        columns = {name: [getattr(row, name) for row in rows] for name in names}
        with incoming(self.connection, columns) as source:
            self.connection.execute(
                f'create or replace table "{table}" as select {typed} from {source}'
            )

    def write_frames(self, table: str, kind: type[object], frames: Iterable[Frame]) -> None:
        """Keep frames, one below the other, as one table with the columns of ``kind``.

        For tables too long to have a record a row; NaN becomes NULL.
        """
        self.write_records(table, kind, [])
        _, typed = _typed_columns(kind)
        for frame in frames:
            with incoming(self.connection, frame) as source:
                self.connection.execute(f'insert into "{table}" select {typed} from {source}')


@contextmanager
def incoming(
    connection: duckdb.DuckDBPyConnection,
    columns: Mapping[str, Sequence[object] | NDArray[Any]] | Frame,
) -> Iterator[str]:
    """Let SQL read columns of Python; gives what to select from. None and NaN are NULL."""
    if isinstance(columns, Mapping):
        # DuckDB asks arrays once what they hold, a frame's columns several times.
        columns = {name: _array(cells) for name, cells in columns.items()}
    connection.register("incoming", columns)
    yield "incoming"
    connection.unregister("incoming")


def _array(cells: Sequence[object] | NDArray[Any]) -> NDArray[Any]:
    if isinstance(cells, np.ndarray):
        return cells
    array = np.empty(len(cells), dtype=object)
    array[:] = cells
    return array


def _filled(column: NDArray[Any]) -> NDArray[Any]:
    """A column without a mask."""
    if not np.ma.isMaskedArray(column):
        return column
    is_text = column.dtype == object
    filled = np.ma.getdata(column).astype(object if is_text else np.float64)
    filled[np.ma.getmaskarray(column)] = None if is_text else np.nan
    return filled


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
