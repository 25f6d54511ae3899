"""Dates and times in the forms that people type them.

In:  the text of a cell, the time beside it, and how the sheet means dates with slashes.
Out: the moment as our tables have it, or ``CellError``. A date that can be two is never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from enum import StrEnum

from trialpress.desk.adopt.obstacles import CellError, Obstacle

_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}([T ][0-9]{2}:[0-9]{2}(:[0-9]{2})?)?")
_YEAR_FIRST = re.compile(r"([0-9]{4})[/.]([0-9]{1,2})[/.]([0-9]{1,2})")
_DOTTED = re.compile(r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{4}|[0-9]{2})")
_SLASHED = re.compile(r"([0-9]{1,2})([/-])([0-9]{1,2})\2([0-9]{4}|[0-9]{2})")
_DAY_NAME = re.compile(r"^[^\W\d]{2,10}\.?,\s*")
_DAY_WORD_YEAR = re.compile(r"([0-9]{1,2})(?:st|nd|rd|th)?\.?[ -]([^\W\d]{3,9})\.?,?[ -]([0-9]{4})")
_WORD_DAY_YEAR = re.compile(r"([^\W\d]{3,9})\.? ([0-9]{1,2})(?:st|nd|rd|th)?,? ([0-9]{4})")
_WITH_CLOCK = re.compile(r"(.{6,30}?),?[T ]+([0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?)")
_TIME = re.compile(r"([0-9]{1,2})[:.h]([0-9]{2})(:[0-9]{2})?(?: ?(?:Uhr|h))?")
_STARTS = (
    ("jan", "jän"), ("feb", "fév"), ("mar", "mär", "mrz"), ("apr", "avr"), ("may", "mai"),
    ("jun", "juin"), ("jul", "juil"), ("aug", "aoû"), ("sep",), ("oct", "okt"), ("nov",),
    ("dec", "dez", "déc"),
)  # fmt: skip
"""How months begin in English, German and French."""
MONTHS = 12
CENTURY = 2000


class DateOrder(StrEnum):
    """How dates with slashes are meant."""

    DAY_FIRST = "day-first"
    MONTH_FIRST = "month-first"


def moment(text: str, clock: str, *, order: DateOrder | None, patterns: Sequence[str] = ()) -> str:
    """A date, with its time where there is one, as our tables have it.

    Parameters
    ----------
    text, clock : str
        The date, with a time in it or not; a time from another column, or blank.
    order : DateOrder or None
        How dates with slashes are meant; None where nothing tells.
    patterns : sequence of str
        Forms of dates as the mapping gives them, for ``strptime``; tried before all others.

    Raises
    ------
    CellError
        If it is no date, or could be two.
    """
    day = _by_pattern(text, patterns) or _iso(text)
    if day is None:
        match = _WITH_CLOCK.fullmatch(text)
        text, clock = (match[1], match[2]) if match else (text, clock)
        day = _date(text, order)
    if not clock or "T" in day:
        return day
    found = _TIME.fullmatch(clock)
    if found is None:
        raise CellError(Obstacle.NO_DATE, f"{clock} is no time", word=clock)
    return f"{day}T{int(found[1]):02}:{found[2]}{found[3] or ''}"


def _by_pattern(text: str, patterns: Sequence[str]) -> str | None:
    for pattern in patterns:
        try:
            read = datetime.strptime(text, pattern)  # noqa: DTZ007  bench local time has no zone
        except ValueError:
            continue
        has_time = "%H" in pattern
        return read.isoformat(timespec="minutes") if has_time else read.date().isoformat()
    return None


def _iso(text: str) -> str | None:
    if not _ISO.fullmatch(text):
        return None
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return None
    return text.replace(" ", "T")


def _date(text: str, order: DateOrder | None) -> str:
    plain = _DAY_NAME.sub("", text)
    slashed = _SLASHED.fullmatch(plain)
    parts = _slashed(slashed, text, order) if slashed else _parts(plain)
    try:
        if parts is not None:
            return date(*parts).isoformat()
    except ValueError:
        pass
    raise CellError(Obstacle.NO_DATE, f"{text or 'nothing'} is no date", word=text)


def _parts(text: str) -> tuple[int, int, int] | None:
    """Year, month and day of a form that can be read in one way only."""
    if match := _DOTTED.fullmatch(text):
        return _year(match[3]), int(match[2]), int(match[1])
    if match := _YEAR_FIRST.fullmatch(text):
        return int(match[1]), int(match[2]), int(match[3])
    if match := _DAY_WORD_YEAR.fullmatch(text):
        return int(match[3]), _month(match[2]), int(match[1])
    if match := _WORD_DAY_YEAR.fullmatch(text):
        return int(match[3]), _month(match[1]), int(match[2])
    return None


def _year(text: str) -> int:
    return int(text) + (CENTURY if len(text) == len("31") else 0)


def _month(word: str) -> int:
    """The number of a month; 0, which is none, for any other word."""
    found = (i for i, starts in enumerate(_STARTS, 1) if word.casefold().startswith(starts))
    return next(found, 0)


def _slashed(match: re.Match[str], text: str, order: DateOrder | None) -> tuple[int, int, int]:
    own = order_of([text]) or order
    if own is None and match[1] != match[3]:
        raise CellError(
            Obstacle.DATE_ORDER,
            f"{text} can be two dates: say date_order or date_format in the mapping",
        )
    day, month = (match[1], match[3]) if own is not DateOrder.MONTH_FIRST else (match[3], match[1])
    return _year(match[4]), int(month), int(day)


def order_of(texts: Iterable[str]) -> DateOrder | None:
    """How dates with slashes are meant, where some can be read in one way only, and agree."""
    matches = [match for text in texts if (match := _SLASHED.fullmatch(_DAY_NAME.sub("", text)))]
    is_day_first = any(int(match[1]) > MONTHS for match in matches)
    is_month_first = any(int(match[3]) > MONTHS for match in matches)
    if is_day_first == is_month_first:
        return None
    return DateOrder.DAY_FIRST if is_day_first else DateOrder.MONTH_FIRST
