"""Findings: what is wrong where, and what to do about it.

In:  a code, a place and the facts of the case; the sentences come from ``wording.toml``.
Out: ``Finding``, its text for people and its JSON for machines.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files

from trialpress.errors import FaultyDataError

_LONGEST_SHOWN = 200
_NEEDS_QUOTES = re.compile(r"""[\s"',;]|^$""")
_AS_TYPED = ("value", "typed", "stands", "was", "other")


class Severity(StrEnum):
    """An error stops the build; a warning is printed and shown beside the number."""

    ERROR = "error"
    WARNING = "warning"


class FindingCode(StrEnum):
    """The stable names of all findings; ``wording.toml`` has the sentences of each."""

    # bench.toml
    SETTINGS_SYNTAX = "settings-syntax"
    SETTING_UNKNOWN = "setting-unknown"
    BENCH_FORMAT = "bench-format"
    SETTING_MISSING = "setting-missing"
    SETTING_WRONG = "setting-wrong"
    SETTING_PLACEHOLDER = "setting-placeholder"
    METER_INCOMPLETE = "meter-incomplete"
    METER_INSTRUMENT = "meter-instrument"

    # translation
    TRANSLATION_MISSING = "translation-missing"
    TRANSLATION_SYNTAX = "translation-syntax"
    TRANSLATION_WRONG = "translation-wrong"

    # record of what was published
    RECORD_HEADER = "record-header"
    RECORD_ADDRESS = "record-address"
    RECORD_DATE = "record-date"

    # files and folders
    FILE_MISSING = "file-missing"
    FILE_UNREADABLE = "file-unreadable"
    FILE_UNKNOWN = "file-unknown"
    DAY_NAME = "day-name"
    NOT_UTF8 = "not-utf8"
    NO_HEADER = "no-header"
    WRONG_DELIMITER = "wrong-delimiter"
    BROKEN_QUOTES = "broken-quotes"

    # descriptors
    DESCRIPTOR_SYNTAX = "descriptor-syntax"
    DESCRIPTOR_INVALID = "descriptor-invalid"
    DESCRIPTOR_OUTSIDE = "descriptor-outside"
    DESCRIPTOR_NETWORK = "descriptor-network"
    DESCRIPTOR_SCHEMA = "descriptor-schema"
    DESCRIPTOR_FILES = "descriptor-files"

    # header and shape
    COLUMN_UNKNOWN = "column-unknown"
    COLUMN_MISSING = "column-missing"
    COLUMN_REPEATED = "column-repeated"
    ROW_LENGTH = "row-length"
    ROW_BLANK = "row-blank"
    ROWS_LEFT = "rows-left"

    # cells
    BLANK_LOOKING = "blank-looking"
    CONTROL_CHARACTER = "control-character"
    FORMULA_TEXT = "formula-text"
    CELL_BLANK = "cell-blank"
    CELL_TYPE = "cell-type"
    CELL_AMBIGUOUS = "cell-ambiguous"
    CELL_NOT_ALLOWED = "cell-not-allowed"
    CELL_PATTERN = "cell-pattern"
    CELL_RANGE = "cell-range"
    CELL_LENGTH = "cell-length"
    CURRENCY_UNKNOWN = "currency-unknown"
    NAME_RESERVED = "name-reserved"

    # keys
    KEY_REPEATED = "key-repeated"
    REFERENCE_UNKNOWN = "reference-unknown"
    RUN_REPEATED = "run-repeated"
    RUN_UNKNOWN = "run-unknown"

    # films
    MARK_ORDER = "mark-order"
    MARK_SHOWS_SEVERAL = "mark-shows-several"

    # corrections
    CORRECTION_ROW = "correction-row"
    CORRECTION_COLUMN = "correction-column"
    CORRECTION_FIXED = "correction-fixed"
    CORRECTION_WAS = "correction-was"
    CORRECTION_SAME = "correction-same"
    CORRECTION_SPLIT = "correction-split"
    CORRECTION_VALUE = "correction-value"

    # dates
    DATE_IMPOSSIBLE = "date-impossible"
    DATE_OTHER_DAY = "date-other-day"
    RUN_AHEAD = "run-ahead"
    DATES_REVERSED = "dates-reversed"
    PROTOCOL_NOT_YET = "protocol-not-yet"
    PROTOCOL_ENDED = "protocol-ended"
    FLOOR_NOT_LAID = "floor-not-laid"
    FLOOR_LIFTED = "floor-lifted"

    # protocols
    OVERALL_UNDEFINED = "overall-undefined"
    PROTOCOL_INCOMPLETE = "protocol-incomplete"
    PROTOCOL_UNIT = "protocol-unit"
    PROTOCOL_BETTER = "protocol-better"
    LIMITS_REVERSED = "limits-reversed"
    VERSION_GAP = "version-gap"
    KIND_UNKNOWN = "kind-unknown"
    CONTINUES_NOTHING = "continues-nothing"
    CONTINUES_CHANGED = "continues-changed"
    METHOD_MISSING = "method-missing"
    METHOD_UNKNOWN = "method-unknown"

    # claims
    CLAIM_UNIT = "claim-unit"
    CLAIM_DIMENSION = "claim-dimension"
    CLAIM_SETUP = "claim-setup"

    # runs
    WRONG_TABLE = "wrong-table"
    READING_MISSING = "reading-missing"
    PLANNED_WITH_READING = "planned-with-reading"
    VOID_WITHOUT_REASON = "void-without-reason"
    REASON_WITHOUT_VOID = "reason-without-void"
    REPLICATE_REPEATED = "replicate-repeated"
    RUN_OTHER_KIND = "run-other-kind"
    INSTRUMENT_UNIT = "instrument-unit"

    # readings
    RESULT_IMPLAUSIBLE = "result-implausible"
    READINGS_REPEATED = "readings-repeated"
    EMPTY_MASS_UNUSUAL = "empty-mass-unusual"
    RUN_FAR_OFF = "run-far-off"
    DOSE_OUTSIDE_TOLERANCE = "dose-outside-tolerance"
    GAIN_AND_MASSES = "gain-and-masses"
    GAIN_OR_MASSES = "gain-or-masses"
    MASS_LOST = "mass-lost"
    GAIN_NEGATIVE = "gain-negative"
    OVER_RECOVERED = "over-recovered"
    LEFT_ABOVE_DOSE = "left-above-dose"
    HITS_ABOVE_TRIES = "hits-above-tries"
    GRADING_PLANNED = "grading-planned"
    GRADING_DISAGREES = "grading-disagrees"
    ZONE_MISSING = "zone-missing"
    ZONE_UNEXPECTED = "zone-unexpected"

    # photos
    PHOTO_OUTSIDE = "photo-outside"
    PHOTO_MISSING = "photo-missing"
    PHOTO_UNREADABLE = "photo-unreadable"
    PHOTO_LOCATION = "photo-location"


@dataclass(frozen=True)
class Place:
    """Where a finding is: a file, and within it a row as a spreadsheet shows it, and a column."""

    file: str
    row: int | None = None
    column: str | None = None

    @property
    def text(self) -> str:
        """The place as a person reads it, as far as each part of it is known."""
        row = None if self.row is None else f"row {self.row}"
        return ", ".join(shown(part) for part in (self.file, row, self.column) if part)

    def seen_from(self, other: Place) -> str:
        """The place as a person at ``other`` reads it: within one file the row is enough."""
        return Place("", self.row).text if self.file == other.file else self.text


@dataclass(frozen=True)
class Finding:
    """One fault, or one thing worth a look, in the tester's words."""

    code: FindingCode
    severity: Severity
    file: str
    row: int | None
    column: str | None
    value: str | None
    problem: str
    remedy: str

    @property
    def where(self) -> str:
        """The place as a person reads it."""
        return Place(self.file, self.row, self.column).text

    @property
    def text(self) -> str:
        """Two lines for people: where and what is wrong, then what to do."""
        return f"{self.where}: {self.problem}\n  {self.remedy}"

    def as_json(self) -> dict[str, str | int | None]:
        """The finding as JSON for machines."""
        return {
            "code": self.code.value,
            "severity": self.severity.value,
            "file": self.file,
            "row": self.row,
            "column": self.column,
            "value": self.value,
            "problem": self.problem,
            "remedy": self.remedy,
        }


class FaultyBenchError(FaultyDataError):
    """The bench has errors; ``findings`` holds all of them, and the warnings too."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        self.findings = findings
        super().__init__("\n".join(finding.text for finding in findings))


def found(
    code: FindingCode,
    place: Place,
    value: str | None = None,
    *,
    variant: str = "",
    **facts: str | int | None,
) -> Finding:
    """Word one finding.

    Parameters
    ----------
    code : FindingCode
        Which of the findings it is.
    place : Place
        Where it is.
    value : str, optional
        The cell at fault as typed.
    variant : str, optional
        Which of the code's sentences to take, where it has several.
    facts
        What the sentences mention beside ``value`` and ``column``.
    """
    wording = _wordings()[code.value]
    texts = {"column": place.column or ""}
    for name, fact in {"value": value, **facts}.items():
        text = shown("" if fact is None else str(fact))
        texts[name] = _quoted(text) if name in _AS_TYPED else text
    problem, remedy = (
        wording.get(f"{part}-{variant}", wording[part]).format(**texts)
        for part in ("problem", "remedy")
    )
    severity = Severity(wording.get(f"severity-{variant}", wording.get("severity", "error")))
    file, column, typed = (
        part and part.encode("utf-8", "backslashreplace").decode()  # a name may be no text at all
        for part in (place.file, place.column, value)
    )
    return Finding(code, severity, file or "", place.row, column, typed, problem, remedy)


def _quoted(text: str) -> str:
    """A cell in quotes where it would not stand out from the sentence without."""
    return f"“{text}”" if _NEEDS_QUOTES.search(text) else text


def shown(text: str) -> str:
    """Text from a file, safe to print: on one line, unseen characters named, not endless."""
    seen = "".join(char if char.isprintable() else f"\\u{ord(char):04x}" for char in text)
    return seen if len(seen) <= _LONGEST_SHOWN else f"{seen[:_LONGEST_SHOWN]}…"


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Every finding once, by file, row and column; what concerns a whole file comes first."""
    return tuple(sorted(set(findings), key=_position))


def _position(finding: Finding) -> tuple[str, int, str, str, str]:
    row = finding.row or 0
    return (finding.file, row, finding.column or "", finding.code.value, finding.problem)


@cache
def _wordings() -> dict[str, dict[str, str]]:
    text = files("trialpress.intake").joinpath("wording.toml").read_text("utf-8")
    return tomllib.loads(text)
