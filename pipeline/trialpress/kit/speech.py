"""Figures spelled as they are said aloud, so that nobody reads a decimal point wrong on camera.

In:  figures with their published decimals, units, places.
Out: English words, ``eighty-one point four percent``; in another language the figures as written,
     as this spells no other.

Short: numbers and units, and no grammar around them.
"""

from __future__ import annotations

from trialpress.words import figures, message, say, spoken

_SMALL = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen"),
    "nineteen",
)
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_GREAT = ((1_000_000, "million"), (1_000, "thousand"), (100, "hundred"))
SAID_UNITS = {
    "%": message("percent"),
    "dB(A)": message("decibels, A-weighted"),
    "min": message("minutes"),
    "g": message("grams"),
    "kPa": message("kilopascals"),
    "L/s": message("litres a second"),
    "W": message("watts"),
    "s": message("seconds"),
    "mm": message("millimetres"),
}


def are_figures_spelled() -> bool:
    """Whether figures can be spelled in the language that is spoken."""
    return spoken().locale.language == "en"


def said_number(value: float, decimals: int) -> str:
    """A figure with its published decimals: ``minus two point zero``."""
    if not are_figures_spelled():
        return figures.number(value, decimals)
    whole, _, fraction = f"{abs(value):.{decimals}f}".partition(".")
    is_negative = value < 0 and float(f"{value:.{decimals}f}") != 0
    point = f" point {' '.join(_SMALL[int(digit)] for digit in fraction)}" if fraction else ""
    return f"{'minus ' if is_negative else ''}{_whole(int(whole))}{point}"


def said_with_unit(value: float, decimals: int, unit: str) -> str:
    """The same with its unit in words."""
    number = said_number(value, decimals)
    return f"{number} {say(SAID_UNITS[unit]) if unit in SAID_UNITS else unit}".rstrip()


def _whole(value: int) -> str:
    if value < len(_SMALL):
        return _SMALL[value]
    for size, name in _GREAT:
        if value >= size:
            many, rest = divmod(value, size)
            link = " and " if rest < _GREAT[-1][0] else " "
            return f"{_whole(many)} {name}{link + _whole(rest) if rest else ''}"
    tens, ones = divmod(value, 10)
    return f"{_TENS[tens]}-{_SMALL[ones]}" if ones else _TENS[tens]
