"""The dialect of one file: what separates its columns, and how it writes numbers.

In:  the text of a file of one table, or the cells of its rows.
Out: its dialect, rows in the bench's form, and rows of the bench in the file's form.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache, lru_cache
from itertools import zip_longest

from trialpress.bench import TABLES
from trialpress.intake.schemas import Field, read_schema
from trialpress.intake.spelling import (
    SPACES,
    Doubt,
    NumberForms,
    house_form,
    number_forms,
    spreadsheet_form,
)

_READ = (";", "\t")
_NOT_READ = ("|", ":")
TEXTS_KEPT = 50_000
_LINE_END = re.compile(r"[\r\n]")
Cells = Mapping[str, str | None]


def delimiter_of(text: str, columns: Iterable[str]) -> str:
    """What stands between the columns of a file: a comma, unless its header shows another mark.

    Bars and colons are told as well, though they are a fault: they stand within cells too.
    """
    header = _LINE_END.split(text, maxsplit=1)[0]
    if "," in header:
        return ","
    known = set(columns)
    for delimiter in (*_READ, *_NOT_READ):
        cells = [house_name(cell.strip('"')) for cell in header.split(delimiter)]
        if len(cells) > 1 and known.intersection(cells):
            return delimiter
    return ","


def is_read(delimiter: str) -> bool:
    """Whether files with this between their columns are read."""
    return delimiter not in _NOT_READ


def house_name(cell: str) -> str:
    """A cell of a header as the name of a column."""
    return cell.strip(SPACES).lower()


def without_tail(records: Sequence[Sequence[str]]) -> int:
    """How many records are left without those at the end that have nothing in them."""
    filled = (i for i in range(len(records), 0, -1) if not is_blank(records[i - 1]))
    return next(filled, 0)


def is_blank(record: Sequence[str]) -> bool:
    """Whether nothing but spaces stands in a record."""
    return not any(cell.strip(SPACES) for cell in record)


def named_width(header: Sequence[str], body: Iterable[Sequence[str]]) -> int:
    """How many columns there are without those at the right that have neither a name nor a cell."""
    width = len(header)
    while width > 1 and not header[width - 1].strip(SPACES):
        width -= 1
    is_empty = all(is_blank(record[width : len(header)]) for record in body)
    return width if is_empty else len(header)


def forms_of(
    table: str, columns: Sequence[str | None], body: Iterable[Sequence[str]], delimiter: str
) -> NumberForms:
    """How a file writes numbers, by all cells of it that are to hold one."""
    if table != "corrections":
        fields = [_fields(table).get(column or "") for column in columns]
        at = [i for i, field in enumerate(fields) if field is not None and field.type == "number"]
        return number_forms(
            (record[i] for record in body for i in at if i < len(record)), delimiter
        )
    texts: list[str] = []
    for record in body:
        row = {c: cell for c, cell in zip(columns, record, strict=False) if c and cell}
        found = ((text, field_of(table, column, row)) for column, text in row.items())
        texts += [text for text, field in found if field is not None and field.type == "number"]
    return number_forms(texts, delimiter)


def field_of(table: str, column: str, row: Cells) -> Field | None:
    """The column that a cell is of; of a correction's values, the one that they correct."""
    if table == "corrections" and column in {"was", "now"}:
        target, name = house_name(row.get("table") or ""), house_name(row.get("column") or "")
        return _fields(target).get(name) or _fields(table)[column]
    return _fields(table).get(column)


@cache
def _fields(table: str) -> Mapping[str, Field]:
    """The columns of a table by name; none of one that there is not."""
    return {field.name: field for field in read_schema(table).fields} if table in TABLES else {}


def house_row(table: str, row: Cells, forms: NumberForms) -> dict[str, str | Doubt | None]:
    """The cells of a row in the bench's form; those of unknown columns as they are."""
    if table != "corrections":
        readers = _readers(table, forms)
        return {
            column: readers[column](text) if text and column in readers else text
            for column, text in row.items()
        }
    house: dict[str, str | Doubt | None] = {}
    for column, text in row.items():
        field = field_of(table, column, row) if text else None
        if text is None or field is None:
            house[column] = text
        elif column == "row":
            house[column] = _house_key(text, row, forms)
        else:
            house[column] = house_form(text, field, forms) or None
    return house


@cache
def _readers(table: str, forms: NumberForms) -> Mapping[str, Callable[[str], str | Doubt | None]]:
    """What gives a cell the bench's form, by column; kept, as most cells hold what others do."""

    def spelling_of(field: Field) -> Callable[[str], str | Doubt | None]:
        return lru_cache(maxsize=TEXTS_KEPT)(lambda text: house_form(text, field, forms) or None)

    return {name: spelling_of(field) for name, field in _fields(table).items()}


def _house_key(text: str, row: Cells, forms: NumberForms) -> str | Doubt:
    """The key of a corrected row, each part as it stands in its own column."""
    text = text.strip(SPACES)
    target = house_name(row.get("table") or "")
    fields = [_fields(target)[name] for name in _key(target)]
    pairs = [*zip_longest(text.split("|"), fields)]
    if not fields or None in {item for pair in pairs for item in pair}:
        return text
    parts = [house_form(part, field, forms) for part, field in pairs]
    if all(isinstance(part, str) for part in parts):
        return "|".join(map(str, parts))
    ways = [(p, p) if isinstance(p, str) else (p.one, p.other) for p in parts]
    one, other = ("|".join(side) for side in zip(*ways, strict=True))
    return Doubt(text, one, other)


def _key(table: str) -> tuple[str, ...]:
    return read_schema(table).key if table in TABLES else ()


def file_row(table: str, row: Mapping[str, str], forms: NumberForms) -> dict[str, str]:
    """The cells of a row in the form of the file it is to stand in."""
    return {
        column: spreadsheet_form(text, field_of(table, column, row), forms)
        for column, text in row.items()
    }
