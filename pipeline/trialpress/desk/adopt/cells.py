"""What the cells of a spreadsheet mean: numbers, masses, and words beside the figures.

In:  the text of a cell, and what is known of the whole sheet.
Out: numbers as our tables have them, every digit kept, or ``CellError`` with what is wrong; words
     that say a run does not count, or that a row is none; what tells set-ups of a machine apart.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from trialpress.desk.adopt.obstacles import CellError, Obstacle

GRAMS = {"mg": -3, "g": 0, "kg": 3}
"""Powers of ten that bring a unit of mass to grams; the digits stay."""
_NUMBER = re.compile(r"([-+]?[0-9][0-9 '.,\u00a0\u202f]*?)\s*([^0-9\s.,'][^0-9]*)?")
_PLAIN = re.compile(r"[-+]?[0-9]+(\.[0-9]+)?")
_COMMA = re.compile(r"[-+]?[0-9]{1,}(\.[0-9]{3})*,([0-9]{1,2}|[0-9]{4,})(\s*\D*)")
MOST_OF_A_TOTAL = 40
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


_TOTAL = re.compile(
    r"\b(sub)?(total|sum|mean|average|avg|median|min|max|std|stdev|count|summe|zwischensumme|"
    r"gesamt|mittel|mittelwert|schnitt|durchschnitt|moyenne|somme)\b",
    re.IGNORECASE,
)


def is_total(texts: Sequence[str]) -> bool:
    """Whether a row without a date sums up others: its first words say so."""
    first = next((text for text in texts if text), "")
    return _TOTAL.match(first[:MOST_OF_A_TOTAL]) is not None


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
        raise CellError(Obstacle.NO_NUMBER, f"{text} is no number")
    digits = re.sub(r"[ '\u00a0\u202f]", "", match[1])
    digits = digits.replace(".", "").replace(",", ".") if comma and "," in digits else digits
    if not _PLAIN.fullmatch(digits):
        raise CellError(
            Obstacle.NUMBER_FORM,
            f"{text} can be read as several numbers: set decimal in the mapping",
        )
    own = (match[2] or header_unit or unit or "").strip()
    if own == "%" and unit is None:
        raise CellError(Obstacle.UNIT, f"{text} is in %, and the column is not")
    if own in {unit, ""}:
        return digits.removeprefix("+")
    if unit == "g" and own in GRAMS:
        return f"{Decimal(digits).scaleb(GRAMS[own]):f}"
    if unit is None:
        return digits.removeprefix("+")
    raise CellError(Obstacle.UNIT, f"{text} is in {own}, and the column in {unit}")


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
