"""What the cells of a spreadsheet mean: numbers, masses, dates, and words beside the figures.

In:  the text of a cell, and what is known of the whole sheet.
Out: numbers and dates as our tables have them, every digit kept, or ``CellError`` with what is
     wrong; words that say a run does not count; what tells the set-ups of one machine apart.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal

GRAMS = {"mg": -3, "g": 0, "kg": 3}
"""Powers of ten that bring a unit of mass to grams; the digits stay."""
_NUMBER = re.compile(r"([-+]?[0-9][0-9 '.,\u00a0\u202f]*?)\s*([^0-9\s.,'][^0-9]*)?")
_PLAIN = re.compile(r"[-+]?[0-9]+(\.[0-9]+)?")
_COMMA = re.compile(r"[-+]?[0-9]{1,}(\.[0-9]{3})*,([0-9]{1,2}|[0-9]{4,})(\s*\D*)")
_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}([T ][0-9]{2}:[0-9]{2}(:[0-9]{2})?)?")
_DOTTED = re.compile(r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{4})")
_SLASHED = re.compile(r"([0-9]{1,2})/([0-9]{1,2})/([0-9]{4})")
_TIME = re.compile(r"([0-9]{1,2})[:.]([0-9]{2})(:[0-9]{2})?")
MONTHS = 12


STATUSES = frozenset({"planned", "valid", "void"})
_NOT_COUNTED = re.compile(
    r"\b(abort\w*|abandon\w*|cancel\w*|discard\w*|invalid|void|interrupted|incomplete|failed|"
    r"stopped (early|half ?way)|battery (died|dead|empty)|(bin|filter) (full|blocked)|got stuck|"
    r"do not (use|count)|don'?t (use|count)|not valid|spill(ed|t)|wrong (dose|floor|mode|brush)|"
    r"abgebrochen|abbruch|ung[uü]ltig|verworfen|annul[eé]\w*|interrompu\w*)\b",
    re.IGNORECASE,
)
_OF_A_SETUP = re.compile(
    r"\b(brush(es)?|roller|head|nozzle|mode|pattern|overlap|water|firmware|specimen|power|setting|"
    r"b[uü]rste|d[uü]se|modus)\b",
    re.IGNORECASE,
)


class CellError(ValueError):
    """A cell that cannot be understood; the message says why, in the tester's words."""


def has_decimal_commas(texts: Iterable[str]) -> bool:
    """Whether numbers are written with decimal commas: some can be read in no other way."""
    return any(_COMMA.fullmatch(text) for text in texts)


def number(text: str, *, comma: bool, unit: str | None, header_unit: str | None) -> str:
    """A number with a decimal point and all its digits; a mass in grams.

    Parameters
    ----------
    text : str
        As typed, a unit after it or not.
    comma : bool
        Whether the sheet has decimal commas.
    unit : str or None
        The unit our column has.
    header_unit : str or None
        The unit that the sheet's header names.

    Raises
    ------
    CellError
        If it is no number, or in a unit that cannot be brought to ours.
    """
    match = _NUMBER.fullmatch(text.strip())
    if match is None:
        raise CellError(f"{text} is no number")
    digits = re.sub(r"[ '\u00a0\u202f]", "", match[1])
    digits = digits.replace(".", "").replace(",", ".") if comma and "," in digits else digits
    if not _PLAIN.fullmatch(digits):
        raise CellError(f"{text} can be read as several numbers: set decimal in the mapping")
    own = (match[2] or header_unit or unit or "").strip()
    if own == "%" and unit is None:
        raise CellError(f"{text} is in %, and the column is not")
    if own in {unit, ""}:
        return digits.removeprefix("+")
    if unit == "g" and own in GRAMS:
        return f"{Decimal(digits).scaleb(GRAMS[own]):f}"
    if unit is None:
        return digits.removeprefix("+")
    raise CellError(f"{text} is in {own}, and the column in {unit}")


def moment(text: str, clock: str, *, day_first: bool | None, pattern: str | None) -> str:
    """A date, with its time where there is one, as our tables have it.

    Parameters
    ----------
    text, clock : str
        The date, with a time in it or not; a time from another column, or blank.
    day_first : bool or None
        How dates with slashes are meant; None where the sheet does not tell.
    pattern : str or None
        The form of dates as the mapping gives it, for ``strptime``.

    Raises
    ------
    CellError
        If it is no date, or could be two.
    """
    day = _date(text, day_first=day_first, pattern=pattern)
    if not clock or "T" in day:
        return day
    match = _TIME.fullmatch(clock)
    if match is None:
        raise CellError(f"{clock} is no time")
    return f"{day}T{int(match[1]):02}:{match[2]}{match[3] or ''}"


def _date(text: str, *, day_first: bool | None, pattern: str | None) -> str:
    try:
        if pattern is not None:
            read = datetime.strptime(text, pattern)  # noqa: DTZ007  bench local time has no zone
            has_time = "%H" in pattern
            return read.isoformat(timespec="minutes") if has_time else read.date().isoformat()
        if _ISO.fullmatch(text):
            datetime.fromisoformat(text)
            return text.replace(" ", "T")
        if match := _DOTTED.fullmatch(text):
            return date(int(match[3]), int(match[2]), int(match[1])).isoformat()
        if match := _SLASHED.fullmatch(text):
            return _slashed(match, text, day_first=day_first)
    except ValueError as error:
        if isinstance(error, CellError):
            raise
    raise CellError(f"{text or 'nothing'} is no date")


def _slashed(match: re.Match[str], text: str, *, day_first: bool | None) -> str:
    if day_first is None:
        raise CellError(f"{text} can be two dates: set date_format in the mapping")
    day, month = (match[1], match[2]) if day_first else (match[2], match[1])
    return date(int(match[3]), int(month), int(day)).isoformat()


def is_day_first(texts: Iterable[str]) -> bool | None:
    """How dates with slashes are meant, where one of them can be read in one way only."""
    matches = [match for text in texts if (match := _SLASHED.fullmatch(text))]
    if any(int(match[1]) > MONTHS for match in matches):
        return True
    return False if any(int(match[2]) > MONTHS for match in matches) else None


def words_against(texts: Iterable[str]) -> str | None:
    """The first text that says in words that its run does not count."""
    return next((text for text in texts if _NOT_COUNTED.search(text)), None)


def tells_setups_apart(header: str) -> bool:
    """Whether a column is about how a machine was set up."""
    return _OF_A_SETUP.search(header) is not None


def mixed_setups(
    machines: Sequence[str], columns: Mapping[str, Sequence[str]]
) -> dict[str, tuple[str, tuple[str, ...]]]:
    """Names of machines that a column gives several set-ups: the column's header and its words.

    Parameters
    ----------
    machines : sequence of str
        What each row calls its machine, in lower case.
    columns : mapping
        The cells of each column about set-ups, row by row, by its header.
    """
    mixed: dict[str, tuple[str, tuple[str, ...]]] = {}
    for header, cells in columns.items():
        found: dict[str, dict[str, None]] = defaultdict(dict)
        for machine, cell in zip(machines, cells, strict=True):
            found[machine][cell.casefold()] = None
        for machine, words in found.items():
            if machine and len(words) > 1:
                mixed.setdefault(machine, (header, tuple(words)))
    return mixed
