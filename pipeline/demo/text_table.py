"""Tables typed as aligned text, so that invented figures can be read and changed in place.

In:  text with a heading line and ``|`` between the cells.
Out: rows of a dataclass whose fields are all text.

Short: nine modules of the demo type their tables so.
"""

from __future__ import annotations

from typing import Any, TypeVar

Row = TypeVar("Row")


def read_cells(text: str) -> tuple[dict[str, str], ...]:
    """Cells of each line by heading, without the spaces that align them."""
    heading, *lines = (
        [cell.strip() for cell in line.split("|")] for line in text.strip().splitlines()
    )
    return tuple(dict(zip(heading, line, strict=True)) for line in lines)


def read_rows(kind: type[Row], *tables: str, keys: int = 1) -> tuple[Row, ...]:
    """Rows of one kind, from one table or several that share their first columns.

    Parameters
    ----------
    kind : type
        The dataclass of the rows.
    *tables : str
        Text tables; every line of a later one adds columns to the line of the first with its key.
    keys : int
        How many leading columns make the key.

    Returns
    -------
    tuple of kind
        In the order of the first table.

    Raises
    ------
    KeyError
        If a later table has a key that the first lacks.
    """
    first, *others = (read_cells(table) for table in tables)
    merged = {_key(cells, keys): dict[str, Any](cells) for cells in first}
    for table in others:
        for cells in table:
            merged[_key(cells, keys)].update(cells)
    return tuple(kind(**cells) for cells in merged.values())


def _key(cells: dict[str, str], keys: int) -> tuple[str, ...]:
    return tuple(cells.values())[:keys]
