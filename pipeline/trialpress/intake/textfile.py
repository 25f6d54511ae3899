"""Reading one file of text that somebody typed.

In:  a path that may turn out to be a folder, locked, or in another encoding.
Out: its text with findings; text that is not UTF-8 is still handed on as far as it can be read,
     so that one wrong byte hides no other fault.
"""

from __future__ import annotations

import codecs
import csv
import io
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.ordinary_file import MOST_BYTES, OddFileError, read_ordinary

_AROUND = 20
_ALLOWED_UNSEEN = set("\n\r\t\u200c\u200d")  # breaks, and what joins letters in some scripts
_LONGEST_CELL = 2**30


@dataclass(frozen=True)
class Text:
    """What a file says; ``None`` where it could not be read at all."""

    text: str | None
    findings: tuple[Finding, ...]


def read_text(path: Path, name: str, most: int = MOST_BYTES) -> Text:
    """Read a file as UTF-8, with or without a byte order mark.

    Parameters
    ----------
    path : Path
        The file.
    name : str
        The file as findings print it: its path from the bench folder.
    most : int
        The greatest size, in bytes.
    """
    try:
        data = read_ordinary(path, within=path.parents[name.count("/")], most=most)
    except OSError as error:
        return Text(None, (unreadable(error, Place(name)),))
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        finding = found(FindingCode.NOT_UTF8, Place(name, 1), variant="utf16")
        return Text(data.decode("utf-16", errors="replace"), (finding,))
    try:
        return Text(data.decode("utf-8-sig"), ())
    except UnicodeDecodeError as error:
        text = data.decode("utf-8-sig", errors="replace")
        return Text(text, (_not_utf8(data, error.start, name),))


def unreadable(error: OSError, place: Place) -> Finding:
    """A file, or a folder, that cannot be read, and why."""
    variant = error.oddity.value if isinstance(error, OddFileError) else ""
    reason = error.strerror or type(error).__name__
    return found(FindingCode.FILE_UNREADABLE, place, variant=variant, reason=reason)


def _not_utf8(data: bytes, start: int, name: str) -> Finding:
    """Point at the first byte that is not UTF-8, by row and with its surroundings."""
    line_start = max(data.rfind(b"\n", 0, start), data.rfind(b"\r", 0, start)) + 1
    around = data[max(line_start, start - _AROUND) : start + _AROUND].split(b"\n")[0]
    value = around.decode("latin-1").rstrip("\r")
    before = data[: start + 1].decode("utf-8-sig", errors="replace")
    is_table = name.endswith(".csv")
    row = sum(1 for _ in split_rows(before)) if is_table else len(before.splitlines())
    return found(FindingCode.NOT_UTF8, Place(name, row), value)


def check_unseen(text: str, name: str) -> Iterator[Finding]:
    """Refuse characters that cannot be seen in a text that is no table, line by line."""
    if text.isprintable():
        return
    for number, line in enumerate(text.split("\n"), 1):
        if unseen := unseen_characters(line):
            place = Place(name, number)
            codes = codes_of(unseen)
            yield found(FindingCode.CONTROL_CHARACTER, place, line, variant="line", codes=codes)


def unseen_characters(text: str) -> set[str]:
    """The characters that leave no trace on paper, but for breaks, spaces and joiners."""
    unseen = {char for char in text if not char.isprintable()} - _ALLOWED_UNSEEN
    return {char for char in unseen if unicodedata.category(char) != "Zs"}


def codes_of(characters: set[str]) -> str:
    """Characters by the numbers that everybody knows them by."""
    return ", ".join(f"U+{ord(char):04X}" for char in sorted(characters))


def split_records(
    text: str, *, delimiter: str = ",", strict: bool = False
) -> Iterator[tuple[str, list[str]]]:
    """Split CSV text into records as a spreadsheet does: a line break in quotes starts no new one.

    Yields
    ------
    tuple of (str, list of str)
        The exact text of a record, with its line end, and its cells.

    Raises
    ------
    csv.Error
        If it is ``strict`` and the quotes do not add up.
    """
    csv.field_size_limit(_LONGEST_CELL)
    lines = list(io.StringIO(text, newline=""))
    reader, start = csv.reader(lines, delimiter=delimiter, strict=strict), 0
    for cells in reader:
        yield "".join(lines[start : reader.line_num]), cells
        start = reader.line_num


def split_rows(text: str, *, delimiter: str = ",", strict: bool = False) -> Iterator[list[str]]:
    """The cells of each record alone; as ``split_records``."""
    return (cells for _, cells in split_records(text, delimiter=delimiter, strict=strict))


def named_rows(text: str) -> tuple[list[str], list[dict[str, str]]]:
    """The header of CSV text that a program wrote, and its rows by column.

    Raises
    ------
    csv.Error
        If the quotes do not add up.
    ValueError
        If a row has more cells than the header, or fewer.
    """
    rows = split_rows(text, strict=True)
    header = next(rows, [])
    return header, [dict(zip(header, row, strict=True)) for row in rows]
