"""A mapping begun for the tester: what was guessed, what only they know, what was met besides.

In:  a file that nobody has described, a bench without faults.
Out: a ``Start``: guesses with their reason, decisions with their possible answers, all
     at once.

A decision is left open in the mapping. To see what lies behind it, its first answer is tried; no
row is written with one.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from trialpress.bench import TABLE_OF_READING, Bench
from trialpress.desk.adopt.adoption import Adoption, AdoptionRequest, adopt_read
from trialpress.desk.adopt.catalogue import Catalogue, read_catalogue
from trialpress.desk.adopt.dates import DateOrder
from trialpress.desk.adopt.guessing import GuessedLayout, guess_layout, sure_name
from trialpress.desk.adopt.limits import NotUnderstoodError, call_within_limits
from trialpress.desk.adopt.mapping import AS_PROTOCOL, Mapping
from trialpress.desk.adopt.obstacles import Obstacle, RefusedGroup, RefusedRow, grouped
from trialpress.desk.adopt.spreadsheet import (
    Spreadsheet,
    UnreadableSpreadsheetError,
    Worksheet,
    read_spreadsheet,
)
from trialpress.desk.adopt.understanding import ReadSheet, understand
from trialpress.errors import UsageError
from trialpress.intake import read_bench

_GRAMS = re.compile(r"[0-9] ?[mk]?g$|[(\[,] ?[mk]?g\b")
MOST_ROUNDS = 5
"""Of decisions behind decisions: the protocol before its dose, the dose before its tolerance."""


class NothingLikeRunsError(UsageError):
    """No sheet of the file has a header with dated rows below it."""

    def __init__(self, file: Path) -> None:
        super().__init__(
            f"{file} has no row of words with rows below it that begin with a date, so there is "
            "nothing to begin a mapping with. Look whether it is the right file; if it is, write "
            "one by hand: trialpress adopt --help shows what it may say."
        )


@dataclass(frozen=True)
class Line:
    """One line of the mapping; without ``answers`` it was guessed, with some it is to decide."""

    section: str
    key: str
    value: str
    why: str
    answers: tuple[str, ...] = ()

    @property
    def path(self) -> str:
        """Where it stands in the mapping."""
        return f"[{self.section}] {self.key}" if self.section else self.key

    @property
    def is_open(self) -> bool:
        """Whether only the tester can say it."""
        return bool(self.answers)


@dataclass(frozen=True)
class Start:
    """A mapping begun: ``mapping`` has the guesses, ``tried`` the first answers as well."""

    spreadsheet: Spreadsheet
    mapping: Mapping
    tried: Mapping
    lines: tuple[Line, ...]
    sheet: ReadSheet
    left: tuple[RefusedGroup, ...]
    other_sheets: tuple[str, ...]
    row_count: int

    @property
    def decisions(self) -> tuple[Line, ...]:
        """The lines that are left open."""
        return tuple(line for line in self.lines if line.is_open)


def start(bench: Bench, file: Path) -> Start:
    """Begin a mapping; nothing is written.

    Raises
    ------
    FaultyBenchError
        If the bench has faults before anything is added.
    UsageError
        If the file cannot be read, or has nothing that looks like runs.
    """
    return start_read(bench, read_spreadsheet(file))


def start_read(bench: Bench, spreadsheet: Spreadsheet) -> Start:
    """Begin a mapping for a file that has been read; as ``start``."""
    catalogue = read_catalogue(read_bench(bench, None))
    layouts = [
        (s, guessed) for s in spreadsheet.sheets if (guessed := _guessed(s, spreadsheet, catalogue))
    ]
    if not layouts:
        raise NothingLikeRunsError(spreadsheet.file)
    sheet, layout = max(layouts, key=lambda pair: len(pair[0].rows))
    mapping = replace(layout.mapping, sheet=sheet.name if len(layouts) > 1 else None)
    asker = _Asker(spreadsheet, catalogue, mapping, _has_grams([sheet]))
    asker.ask()
    adoption = adopt_read(bench, AdoptionRequest(spreadsheet.file, asker.tried), spreadsheet)
    if asker.renumbers(adoption):
        adoption = adopt_read(bench, AdoptionRequest(spreadsheet.file, asker.tried), spreadsheet)
    return Start(
        spreadsheet,
        asker.mapping,
        asker.tried,
        (*_layout_lines(layout, asker.mapping.ignore), *asker.lines),
        next(read for read in adoption.sheets if read.name == sheet.name),
        grouped(adoption.refused),
        tuple(other.name for other, _ in layouts if other is not sheet),
        len(adoption.rows) + len(adoption.refused) + len(adoption.already),
    )


def lines_left(bench: Bench, spreadsheet: Spreadsheet, mapping: Mapping) -> tuple[Line, ...]:
    """What a mapping does not say yet and could: guesses, and decisions with their answers."""
    catalogue = read_catalogue(read_bench(bench, None))
    asker = _Asker(spreadsheet, catalogue, mapping, _has_grams(spreadsheet.sheets))
    asker.ask()
    return tuple(asker.lines)


def _has_grams(sheets: Iterable[Worksheet]) -> bool:
    rows = (row for sheet in sheets for row in sheet.rows)
    return any(_GRAMS.search(text) for row in rows for text in row.cells)


def _guessed(
    sheet: Worksheet, spreadsheet: Spreadsheet, catalogue: Catalogue
) -> GuessedLayout | None:
    try:
        return call_within_limits(guess_layout, sheet, catalogue)
    except NotUnderstoodError as error:
        raise UnreadableSpreadsheetError(spreadsheet.file, str(error)) from error


def _layout_lines(layout: GuessedLayout, ignored: tuple[str, ...]) -> Iterator[Line]:
    mapping = layout.mapping
    for (section, key), why in layout.reasons.items():
        wide = mapping.wide.columns if mapping.wide is not None else {}
        values = {"columns": mapping.columns, "fixed": mapping.fixed, "wide.columns": wide}
        value = ", ".join(mapping.fill_down) if not section else values[section].get(key)
        if value is not None and value not in ignored:
            yield Line(section, key, value, why)


@dataclass
class _Asker:
    """Reads the rows again and again, each time with an answer to all that stood in the way."""

    spreadsheet: Spreadsheet
    catalogue: Catalogue
    mapping: Mapping
    has_grams: bool
    tried: Mapping = field(init=False)
    lines: list[Line] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Begin with what was guessed."""
        self.tried = self.mapping

    def ask(self) -> None:
        """Until nothing new stands in the way, or nothing can be asked."""
        for _ in range(MOST_ROUNDS):
            sheets = understand(self.spreadsheet, self.tried, self.catalogue)
            refused = [r for s in sheets for r in s.rows if isinstance(r, RefusedRow)]
            asked = {(line.section, line.key) for line in self.lines}
            new = [line for line in self._lines(refused) if (line.section, line.key) not in asked]
            for line in {(line.section, line.key): line for line in new}.values():
                self.lines.append(line)
                answer = line.answers[0] if line.is_open else line.value
                self.tried = _with(self.tried, line, answer)
                self.mapping = self.mapping if line.is_open else _with(self.mapping, line, answer)
            if not new:
                return

    def renumbers(self, adoption: Adoption) -> bool:
        """Pass over the sheet's own numbers of runs where other runs have them."""
        header = self.mapping.columns.get("replicate")
        columns = {reason.column for row in adoption.refused for reason in row.reasons}
        if header is None or "replicate" not in columns:
            return False
        why = "guessed: other runs have its numbers; runs are numbered in their order"
        self.lines.append(Line("", "ignore", header, why))
        self.mapping, self.tried = (_ignoring(m, header) for m in (self.mapping, self.tried))
        return True

    def _lines(self, refused: Iterable[RefusedRow]) -> Iterator[Line]:
        found: dict[tuple[Obstacle, str, str], list[str]] = {}
        for reason in (reason for row in refused for reason in row.reasons):
            key = (reason.kind, reason.column, reason.word)
            found.setdefault(key, []).append(reason.sentence)
        for (kind, column, word), sentences in found.items():
            rows = f"{len(sentences)} row{'s' if len(sentences) > 1 else ''}"
            line = self._line(kind, column, word, f"{rows}: {sentences[0]}")
            if line is not None:
                yield line

    def _line(self, kind: Obstacle, column: str, word: str, why: str) -> Line | None:
        """What to say in the mapping about one obstacle; None where that is no help."""
        orders = tuple(order.value for order in DateOrder)
        asked = {
            Obstacle.BLANK_NAME: ("fixed", column, self._all(column)),
            Obstacle.DATE_ORDER: ("", "date_order", orders),
            Obstacle.NUMBER_FORM: ("", "decimal", (",", ".")),
            Obstacle.NO_DOSE: ("fixed", "dose_g", (AS_PROTOCOL, "20.0")),
            Obstacle.SEVERAL_SETUPS: ("values.setup", word, self._all("setup")),
            Obstacle.NO_READINGS: ("results", word, self._keepers(word)),
        }
        if kind is Obstacle.UNKNOWN_NAME:
            return self._named(column, word, why)
        if kind not in asked:
            return None
        section, key, answers = asked[kind]
        return Line(section, key, "", why, answers)

    def _named(self, column: str, word: str, why: str) -> Line:
        known = dict(self.catalogue.setups if column == "setup" else self.catalogue.protocols)
        near = sure_name(word, known)
        if near is not None:
            rows, _, _ = why.partition(":")
            return Line(f"values.{column}", word, known[near], f"guessed: {rows}, like {near}")
        return Line(f"values.{column}", word, "", why, self._all(column))

    def _all(self, column: str) -> tuple[str, ...]:
        """Everything that a set-up or protocol can be, by what the columns of the sheet fit."""
        if column == "setup":
            return tuple(sorted(set(self.catalogue.setups.values()))) or ("add one first",)
        names = {v.protocol: TABLE_OF_READING[v.reading] for v in self.catalogue.versions}
        fits = Counter({name: self._fits(table) for name, table in names.items()})
        return tuple(sorted(names, key=lambda name: (-fits[name], name))) or ("add one first",)

    def _fits(self, table: str) -> int:
        own = {
            "weighings": {"dose_g", "before_g", "after_g", "gain_g"},
            "values": {"value"},
            "counts": {"hits", "tries"},
            "gradings": {"zone", "grader", "grade"},
        }
        wide = self.mapping.wide
        met = {*self.mapping.columns, *([wide.becomes] if wide else [])}
        return len(own[table] & met) + (table == "weighings" and self.has_grams)

    def _keepers(self, protocol: str) -> tuple[str, ...]:
        """The protocols that can keep results of another one, and how to add one."""
        versions = self.catalogue.versions
        units = {version.unit for version in versions if version.protocol == protocol}
        fitting = (v.protocol for v in versions if v.reading == "value" and v.unit in units)
        add = f"one more: trialpress add protocols --like {protocol} reading=value"
        return (*dict.fromkeys(fitting), add)


def _ignoring(mapping: Mapping, header: str) -> Mapping:
    columns = {name: text for name, text in mapping.columns.items() if text != header}
    return replace(mapping, columns=columns, ignore=(*mapping.ignore, header))


def _with(mapping: Mapping, line: Line, answer: str) -> Mapping:
    """A mapping that says one thing more."""
    section, _, column = line.section.partition(".")
    match section:
        case "":
            return replace(
                mapping,
                **(
                    {"date_order": DateOrder(answer)}
                    if line.key == "date_order"
                    else {"decimal": answer}
                ),
            )
        case "values":
            words = {**mapping.values.get(column, {}), line.key: answer}
            return replace(mapping, values={**mapping.values, column: words})
        case "fixed":
            return replace(mapping, fixed={**mapping.fixed, line.key: answer})
        case _:
            return replace(mapping, results={**mapping.results, line.key: answer})
