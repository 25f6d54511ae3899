"""Old spreadsheets by pointing: what was understood, row by row, before anything is written.

In:  JSON from the page of this session: a file as the browser has it, a mapping as it was pointed.
Out: JSON; what ``adopt`` shows, what is left to decide; the rows in day folders, or gone again.
"""

from __future__ import annotations

import base64
import hashlib
import json
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path, PurePosixPath

from trialpress.bench import Bench
from trialpress.desk.adopt import Adoption, AdoptionRequest, last_adoption, write_adoption
from trialpress.desk.adopt.adoption import adopt_read
from trialpress.desk.adopt.headers import our_columns
from trialpress.desk.adopt.layout import find_header, spread_column
from trialpress.desk.adopt.mapping import Mapping as SheetMapping
from trialpress.desk.adopt.mapping import mapping_of, match_header
from trialpress.desk.adopt.mapping_faults import BECOMES
from trialpress.desk.adopt.obstacles import counted_rows, grouped
from trialpress.desk.adopt.spreadsheet import Spreadsheet, Worksheet, spreadsheet_of
from trialpress.desk.adopt.start_text import start_text
from trialpress.desk.adopt.starting import Start, lines_left, start_read
from trialpress.desk.adopt.writing import ChangedSinceShownError
from trialpress.desk.preview.pages import Json, Question
from trialpress.desk.preview.watcher import Watcher
from trialpress.errors import FaultyDataError, UsageError
from trialpress.lock import locked

MOST_FILE_BYTES = 24 * 2**20
"""Of a file as the page sends it: 18 MB, more than twenty years of results."""
MOST_ROWS = 200
SAMPLES = 3
FOR_MAPPING = Path("the mapping")


class NoFileSentError(UsageError):
    """What the page sent is no file with a mapping."""

    def __init__(self) -> None:
        super().__init__("What was sent is no spreadsheet. Choose the file again.")


class ShownOtherwiseError(FaultyDataError):
    """The rows are not those that were shown."""

    def __init__(self) -> None:
        super().__init__(
            "The bench was changed since these rows were shown, so nothing was written. They are "
            "shown anew: look at them again, then write."
        )


@dataclass
class AdoptingPage:
    """Answers for one preview, which knows the file that was opened last."""

    watcher: Watcher
    _begun: Start | None = None

    @property
    def questions(self) -> Mapping[str, Question]:
        """What the page may ask, by the last part of the address."""
        return {
            "last": lambda _: {"undo": last_adoption(self._bench).what},
            "open": self.open,
            "look": self.look,
            "write": self.write,
            "undo": lambda _: {"undone": last_adoption(self._bench).undo()},
        }

    @property
    def _bench(self) -> Bench:
        return self.watcher.bench

    def open(self, sent: object) -> Json:
        """What a file most likely means."""
        spreadsheet = _spreadsheet(sent)
        begun = self._begun = start_read(self._bench, spreadsheet)
        return {
            "of": spreadsheet.sha256,
            "how": spreadsheet.how,
            "mapping": tomllib.loads(start_text(begun, "mapping.toml")),
            "headers": _headers(begun),
            "reasons": [[line.section, line.key, line.why] for line in begun.lines],
            "other_sheets": begun.other_sheets,
            "columns": our_columns(),
            "becomes": BECOMES,
        }

    def look(self, sent: object) -> Json:
        """What the rows would be by a mapping, and what is left to say."""
        begun, mapping, adoption = self._adoption(sent)
        return {
            "shown": _print_of(adoption),
            "count": len(adoption.rows),
            "rows": [
                {"place": row.origin.text, "table": row.table, "day": row.day, "cells": row.cells}
                for row in adoption.rows[:MOST_ROWS]
            ],
            "already": len(adoption.already),
            "refused": [group.text for group in grouped(adoption.refused)],
            "columns": _pointed(begun, mapping),
            "asked": [asdict(x) for x in lines_left(self._bench, begun.spreadsheet, mapping)],
            "told": [*_told(adoption)],
        }

    def write(self, sent: object) -> Json:
        """Write the rows that were shown, of the file that was shown."""
        now = _spreadsheet(sent)
        if self._begun is None or now.data != self._begun.spreadsheet.data:
            raise ChangedSinceShownError(now.file)
        with locked(self._bench):
            _, _, adoption = self._adoption(sent)
            if _text(sent, "shown") != _print_of(adoption):
                raise ShownOtherwiseError
            write_adoption(self._bench, adoption)
        return {"written": len(adoption.rows), "undo": last_adoption(self._bench).what}

    def _adoption(self, sent: object) -> tuple[Start, SheetMapping, Adoption]:
        """The file that was opened last, read by the mapping that was sent."""
        begun = self._begun
        if begun is None or _text(sent, "of") != begun.spreadsheet.sha256:
            raise NoFileSentError
        mapping = mapping_of(FOR_MAPPING, _part(sent, "mapping"))
        request = AdoptionRequest(begun.spreadsheet.file, mapping)
        return begun, mapping, adopt_read(self._bench, request, begun.spreadsheet)


def _text(sent: object, name: str) -> object:
    return sent.get(name) if isinstance(sent, dict) else None


def _spreadsheet(sent: object) -> Spreadsheet:
    """The file that was sent, under its name alone."""
    name, data = _text(sent, "name"), _text(sent, "data")
    if not isinstance(name, str) or not isinstance(data, str):
        raise NoFileSentError
    file = Path(PurePosixPath(name.replace("\\", "/")).name)
    try:
        return spreadsheet_of(file, base64.b64decode(data, validate=True))
    except ValueError as error:
        raise NoFileSentError from error


def _part(sent: object, name: str) -> dict[str, object]:
    part = _text(sent, name)
    if not isinstance(part, dict):
        raise NoFileSentError
    return part


def _headers(begun: Start) -> list[Json]:
    """The columns of the sheet, each with the first of its cells."""
    sheet, first, header = _header(begun)
    body = [row for row in sheet.rows if row.number >= first + begun.mapping.header_rows]
    return [
        {
            "header": text,
            "cells": [row.cells[i] for row in body if row.cells[i : i + 1] > ("",)][:SAMPLES],
        }
        for i, text in enumerate(header)
        if text
    ]


def _pointed(begun: Start, mapping: SheetMapping) -> list[Json]:
    """What each of these columns is by a mapping: one of ours, or one of several of a word."""
    _, _, header = _header(begun)
    ours = {i: c.name for c in match_header(header, mapping) for i in c.indexes}
    wide = mapping.wide
    spread = [spread_column(text, wide) if wide else None for text in header]
    return [
        {"is": None if column else ours.get(i), "word": column.word if column else None}
        for i, (text, column) in enumerate(zip(header, spread, strict=True))
        if text
    ]


def _header(begun: Start) -> tuple[Worksheet, int, tuple[str, ...]]:
    sheet = next(s for s in begun.spreadsheet.sheets if s.name == begun.sheet.name)
    first, header = find_header(sheet, begun.mapping) or (0, ())
    return sheet, first, header


def _told(adoption: Adoption) -> Iterable[str]:
    """Remarks, warnings, and what is beside the figures."""
    for remark in dict.fromkeys(remark for _, remark in adoption.remarks):
        rows = [origin for origin, other in adoption.remarks if other == remark]
        yield f"{counted_rows(rows)}: {remark}"
    for finding in adoption.findings:
        yield finding.text
    for sheet in adoption.sheets:
        if sheet.totals:
            yield f"row {', '.join(map(str, sheet.totals))} sums up others and is passed over"
        for mark in sheet.marks[:MOST_ROWS]:
            yield f"row {mark.row}, cell {mark.cell} {mark.words}, which is not adopted"


def _print_of(adoption: Adoption) -> str:
    """What tells whether the same rows would be written."""
    rows = [[row.table, row.day, dict(row.cells)] for row in adoption.rows]
    return hashlib.sha256(json.dumps(rows).encode()).hexdigest()
