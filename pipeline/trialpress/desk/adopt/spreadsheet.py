"""A spreadsheet somebody kept: read as it is.

In:  an xlsx or ods workbook, or a text file with separators in whatever encoding.
Out: its sheets as rows of text, and in words how it was read.
"""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path

from charset_normalizer import from_bytes
from python_calamine import CalamineError, CalamineWorkbook

from trialpress.desk.adopt.formats import Formats, Mark, read_formats
from trialpress.desk.adopt.limits import BEYOND, NotUnderstoodError, call_within_limits
from trialpress.desk.adopt.open_document import read_open_document
from trialpress.errors import OutsideWorldError, UsageError
from trialpress.intake.textfile import split_rows
from trialpress.ordinary_file import read_ordinary

FORMATTED = frozenset({".xlsx", ".xlsm"})
"""Workbooks whose number formats can be read: a cell that shows 489.60 holds the number 489.6."""
UNSEEN = {
    ".ods": ", of which the digits that cells show are not read: 489.60 is 489.6; save it as xlsx "
    "to have them",
    ".xls": ", of which cell formats cannot be read: colours and comments are not told, and a cell "
    "that shows 84% holds 0.84; save it as xlsx to have them",
}
PERCENTAGE = b'office:value-type="percentage"'
MOST_CONTENT, MOST_PARTS = 2**27, 2000
"""Bytes and files in a workbook, which is an archive; a thousand rows of results have 1 MB."""
WORKBOOKS = frozenset({".xlsx", ".xlsm", ".xls", ".ods"})
SEPARATORS = (";", "\t", ",", "|")
SAMPLE = 50
LIKELY = ["cp1252", "cp1250", "cp1251", "cp1253", "cp1254", "cp1257", "cp932", "gb18030", "big5"]
"""What spreadsheets save text in besides UTF; anything else is named in the mapping."""
UTF16 = (b"\xff\xfe", b"\xfe\xff")


class UnreadableSpreadsheetError(UsageError):
    """The file is no spreadsheet that can be read."""

    def __init__(self, file: Path, reason: str) -> None:
        super().__init__(
            f"{file} cannot be read: {reason}. Save it as xlsx, ods or csv, then adopt that file."
        )


class NoSuchSpreadsheetError(OutsideWorldError):
    """The file cannot be opened."""

    def __init__(self, file: Path, reason: OSError) -> None:
        super().__init__(
            f"{file} cannot be opened: {reason.strerror or reason}. Look for its name and place."
        )


@dataclass(frozen=True)
class RawRow:
    """One row; ``number`` is what a spreadsheet shows, ``part`` its part of a wide table."""

    number: int
    cells: tuple[str, ...]
    part: str = ""

    @property
    def is_blank(self) -> bool:
        """Whether nothing stands in it."""
        return not any(self.cells)


@dataclass(frozen=True)
class Worksheet:
    """One sheet with all its rows, and the marks of its cells."""

    name: str
    rows: tuple[RawRow, ...]
    marks: tuple[Mark, ...] = ()


@dataclass(frozen=True)
class Content:
    """What was understood of a file's bytes; as in ``Spreadsheet``."""

    sheets: tuple[Worksheet, ...]
    how: str
    separator: str


@dataclass(frozen=True)
class Spreadsheet:
    """A file with its sheets; ``how`` says how it was read, ``separator`` is blank in a workbook.

    ``sha256`` is that of the file's bytes.
    """

    file: Path
    data: bytes
    sheets: tuple[Worksheet, ...]
    how: str
    separator: str

    @property
    def sha256(self) -> str:
        """The fingerprint of the file."""
        return hashlib.sha256(self.data).hexdigest()


def read_spreadsheet(file: Path, encoding: str | None = None) -> Spreadsheet:
    """Read a file, by its ending.

    Parameters
    ----------
    file : Path
        A workbook; anything else is read as text with separators.
    encoding : str, optional
        Of a text file; found out where not given.

    Raises
    ------
    NoSuchSpreadsheetError
        If it cannot be opened.
    UnreadableSpreadsheetError
        If it can be opened, but not understood.
    """
    try:
        data = read_ordinary(file)
    except OSError as error:
        raise NoSuchSpreadsheetError(file, error) from error
    return spreadsheet_of(file, data, encoding)


def spreadsheet_of(file: Path, data: bytes, encoding: str | None = None) -> Spreadsheet:
    """Understand what a file holds; as ``read_spreadsheet``.

    Raises
    ------
    UnreadableSpreadsheetError
        If it cannot be understood.
    """
    try:
        content = call_within_limits(understand, file.suffix.lower(), data, encoding)
    except NotUnderstoodError as error:
        raise UnreadableSpreadsheetError(file, str(error)) from error
    return Spreadsheet(file, data, content.sheets, content.how, content.separator)


def understand(suffix: str, data: bytes, encoding: str | None) -> Content:
    """What the bytes of a file say, as its ending has them.

    Raises
    ------
    NotUnderstoodError
        If they say nothing of that kind.
    """
    if suffix in WORKBOOKS:
        how = f"a workbook ({suffix[1:]}){UNSEEN.get(suffix, '')}"
        return Content(_workbook(suffix, data), how, "")
    text, name = _decoded(data, encoding)
    separator = _separator(text)
    rows = split_rows(text, delimiter=separator)
    sheet = Worksheet("", _numbered([cell.strip() for cell in row] for row in rows))
    shown = "tabs" if separator == "\t" else separator
    return Content((sheet,), f"text in {name}, separated by {shown}", separator)


def _refuse_bombs(data: bytes) -> None:
    """An archive of little that unpacks to a lot is looked at no further."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
    except zipfile.BadZipFile:
        return  # an old workbook is none
    if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_CONTENT:
        raise NotUnderstoodError(BEYOND)


def _refuse_unseen_percentages(data: bytes) -> None:
    """An ods cell shown as 84 % would be read as 0.84, as its number format is not.

    Raises
    ------
    NotUnderstoodError
        If there is such a cell.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive, archive.open("content.xml") as content:
            has_percentages = PERCENTAGE in content.read(MOST_CONTENT)
    except (zipfile.BadZipFile, KeyError, OSError) as error:
        raise NotUnderstoodError(str(error)) from error
    if has_percentages:
        raise NotUnderstoodError(
            "it has cells shown as percentages, which only xlsx keeps apart from shares"
        )


def _formats(suffix: str, data: bytes) -> Formats:
    if suffix in FORMATTED:
        return read_formats(data)
    return read_open_document(data) if suffix == ".ods" else Formats()


def _workbook(suffix: str, data: bytes) -> tuple[Worksheet, ...]:
    _refuse_bombs(data)
    if suffix == ".ods":
        _refuse_unseen_percentages(data)
    formats = _formats(suffix, data)

    def texts(name: str) -> Iterator[list[str]]:
        rows = book.get_sheet_by_name(name).to_python(skip_empty_area=False)
        for row, cells in enumerate(rows, start=1):
            places = [(name, row, column) for column in range(1, len(cells) + 1)]
            sources = [formats.merged.get(place, place) for place in places]
            yield [
                formats.shown(_text(rows[r - 1][c - 1]), (sheet, r, c)) for sheet, r, c in sources
            ]

    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        return tuple(
            Worksheet(name, _numbered(texts(name)), tuple(formats.marks.get(name, ())))
            for name in book.sheet_names
        )
    except (CalamineError, OSError) as error:
        raise NotUnderstoodError(str(error)) from error


def _numbered(rows: Iterable[Iterable[str]]) -> tuple[RawRow, ...]:
    return tuple(RawRow(number, tuple(row)) for number, row in enumerate(rows, start=1))


def _text(cell: float | str | bool | time | date | datetime | timedelta) -> str:  # noqa: FBT001
    """A cell as text; a date without a time stays one."""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, int | float):
        return f"{cell:.15g}"
    if isinstance(cell, datetime):
        rounded = (cell + timedelta(microseconds=500_000)).replace(microsecond=0)
        return _moment(rounded)
    if isinstance(cell, time):
        return cell.isoformat("seconds" if cell.second else "minutes")
    return cell.isoformat() if isinstance(cell, date) else str(cell).strip()


def _moment(moment: datetime) -> str:
    if moment.time() == time():
        return moment.date().isoformat()
    return moment.isoformat(timespec="seconds" if moment.second else "minutes")


def _decoded(data: bytes, encoding: str | None) -> tuple[str, str]:
    """The text and the name of its encoding: as told, else UTF-8, else what looks most like it."""
    try:
        if encoding is not None:
            return data.decode(encoding), encoding
        if data.startswith(UTF16):
            return data.decode("utf-16"), "UTF-16"
        return data.decode("utf-8-sig"), "UTF-8"
    except LookupError:
        raise NotUnderstoodError(f"no encoding is called {encoding}") from None
    except UnicodeDecodeError:
        if encoding is not None:
            raise NotUnderstoodError(f"it is not in {encoding}") from None
    best = from_bytes(data, cp_isolation=LIKELY).best()
    if best is None:
        raise NotUnderstoodError("it is no text in any known encoding")
    return str(best), f"what looks most like {best.encoding}"


def _separator(text: str) -> str:
    """The separator that splits most of the first lines into the same number of cells."""

    def agreement(separator: str) -> tuple[int, int]:
        lines = split_rows(text, delimiter=separator)
        widths = Counter(len(row) for row, _ in zip(lines, range(SAMPLE), strict=False))
        width, count = max(
            ((width, count) for width, count in widths.items() if width > 1),
            key=lambda pair: (pair[1], pair[0]),
            default=(0, 0),
        )
        return count, width

    return max(SEPARATORS, key=agreement)
