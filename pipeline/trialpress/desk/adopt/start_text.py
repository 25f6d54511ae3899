"""A mapping begun, as a file to change a few lines of.

In:  a ``Start``.
Out: TOML that ``read_mapping`` reads: each guess with its reason, each decision open as ``"?"``
     with the answers it can have, and in comments what was met besides. Whatever a spreadsheet says
     stands there as quoted text or behind ``#``, on one line.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from pathlib import Path

from trialpress.desk.adopt.mapping import UNDECIDED, Mapping
from trialpress.desk.adopt.obstacles import ranges
from trialpress.desk.adopt.starting import Line, Start
from trialpress.desk.replacing import replace_unchanged
from trialpress.errors import UsageError

SECTIONS = ("columns", "wide.columns", "fixed", "values.setup", "values.protocol", "results")
MOST_SHOWN, LONGEST_SHOWN = 20, 160


class MappingThereError(UsageError):
    """The place of the mapping is taken."""

    def __init__(self, file: Path) -> None:
        super().__init__(
            f"{file} is there already and stays as it is. Use it with --map, or begin another one: "
            "--start --map FILE."
        )


def write_start(file: Path, start: Start) -> None:
    """Write the mapping where no file is yet.

    Raises
    ------
    MappingThereError
        If there is one.
    NotKeptError
        If the disk refuses.
    """
    if not replace_unchanged(file, None, start_text(start, file.name).encode()):
        raise MappingThereError(file)


def refuse_taken(file: Path) -> None:
    """Look whether a mapping can be written, before the work of beginning it.

    Raises
    ------
    MappingThereError
        If there is a file.
    """
    if file.exists():
        raise MappingThereError(file)


def start_text(start: Start, name: str) -> str:
    """The whole file."""
    parts = [*_head(start, name), *_single_keys(start)]
    for section in SECTIONS:
        lines = [line for line in start.lines if line.section == section]
        if lines and section == "wide.columns":
            parts += ["", "[wide]", f'becomes = "{_becomes(start)}"']
        if lines:
            parts += ["", f"[{section}]"]
            parts += [text for line in lines for text in _line(line, start.mapping)]
    return "\n".join([*parts, "", *_besides(start)]) + "\n"


def _head(start: Start, name: str) -> Iterator[str]:
    count = len(start.decisions)
    file = start.spreadsheet.file.name
    yield _comment(f"How {file} is read: {start.row_count} rows of ours.")
    if count:
        things = "One thing is" if count == 1 else f"{count} things are"
        yield _comment(
            f'{things} left to decide: each "?" below. The rest was guessed; look it over.'
        )
    else:
        yield _comment("Nothing is left to decide. All of it was guessed; look it over.")
    yield _comment(f"Then: trialpress adopt {file} --map {name}")
    yield ""


def _single_keys(start: Start) -> Iterator[str]:
    mapping = start.mapping
    yield f'word = "{mapping.word}"  # of the day folders'
    if mapping.sheet is not None:
        others = ", ".join(start.other_sheets)
        yield f"sheet = {_quoted(mapping.sheet)}  {_comment(f'there is also: {others}')}"
    yield f"header_row = {mapping.header_row}"
    if mapping.header_rows > 1:
        yield f"header_rows = {mapping.header_rows}"
    for line in start.lines:
        if not line.section:
            yield from _line(line, start.mapping)


def _becomes(start: Start) -> str:
    return start.mapping.wide.becomes if start.mapping.wide is not None else ""


def _line(line: Line, mapping: Mapping) -> Iterator[str]:
    """A line of the mapping, with the answers above it where it is open."""
    if line.is_open:
        yield _comment(f"decide: {line.why}")
        yield _comment(f"  one of: {_listed(line.answers)}")
        yield f"{_key(line.key)} = {_quoted(UNDECIDED)}"
    else:
        lists = {"fill_down": mapping.fill_down, "ignore": mapping.ignore}
        joined = mapping.joined.get(line.value) if line.section == "columns" else None
        parts = lists.get(line.path, joined)
        value = f"[{', '.join(map(_quoted, parts))}]" if parts else _quoted(line.value)
        yield f"{_key(line.key)} = {value}  {_comment(line.why)}"


def _besides(start: Start) -> Iterator[str]:
    """What was met and is not adopted, and what would still be refused."""
    sheet = start.sheet
    if sheet.unused:
        yield _comment(f"Not used: {_listed(sheet.unused)}.")
    units = [f"{c.header} in {c.unit}" for c in sheet.columns if c.unit]
    if units:
        yield _comment(f"Units met: {_listed(units)}.")
    if sheet.totals:
        yield _comment(f"Passed over as sums of others: row {ranges(sheet.totals)}.")
    words = dict.fromkeys(mark.words for mark in sheet.marks)
    for text in list(words)[:MOST_SHOWN]:
        cells = [mark.cell for mark in sheet.marks if mark.words == text]
        yield _comment(f"Not adopted: {_listed(cells)} {text}.")
    for group in start.left[:MOST_SHOWN]:
        first = ", with the first answer to each decision" if start.decisions else ""
        yield _comment(f"Still refused{first}: {group.text}.")


def _listed(texts: Iterable[str]) -> str:
    every = list(texts)
    more = f" and {len(every) - MOST_SHOWN} more" if len(every) > MOST_SHOWN else ""
    return ", ".join(every[:MOST_SHOWN]) + more


def _comment(text: str) -> str:
    """One line, without what TOML allows in no comment."""
    plain = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    indent = "  " if text.startswith("  ") else ""
    return f"# {indent}{plain}"


def _key(key: str) -> str:
    return key if key.isascii() and key.replace("_", "").isalnum() else _quoted(key)


def _quoted(text: str) -> str:
    """A basic string of TOML 1.0: JSON's escapes, and the delete character too."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
