"""Slips of the hand: what one reading would have to be for a result to fit.

In:  a result that does not fit, and what would.
Out: the one slip that explains it, in words; blank where none does or several do.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise
from typing import Any

from trialpress.intake.rows import RunRecord, WeighingRecord
from trialpress.intake.rules.result import Result, result_of

_READINGS = {
    "weighings": ("dose_g", "before_g", "after_g", "gain_g"),
    "values": ("value",),
    "counts": ("hits", "tries"),
}
_FACTORS = {
    Decimal(10): "ten times",
    Decimal(100): "a hundred times",
    Decimal(1000): "a thousand times",
}


def likely_slip(result: Result, centre: float, margin: float) -> str:
    """Name the one slip after which the result would lie within ``margin`` of ``centre``."""
    fitting = {
        words
        for changed, words in _candidates(result.run)
        if (value := result_of(changed, result.protocol)) is not None
        and abs(float(value) - centre) <= margin
    }
    return fitting.pop() if len(fitting) == 1 else ""


def _candidates(run: RunRecord) -> Iterator[tuple[RunRecord, str]]:
    """The run with one reading mended, and what the slip was."""
    for column in _READINGS.get(run.table, ()):
        text = run.text(column)
        reading = getattr(run, column)
        if text is not None and reading:
            for mended, words in _mended(text, Decimal(reading)):
                changed: dict[str, Any] = {column: mended}
                yield replace(run, **changed), f"{column} {text} looks like {words}"
    if isinstance(run, WeighingRecord) and run.before_g is not None and run.after_g is not None:
        swapped = replace(run, before_g=run.after_g, after_g=run.before_g)
        yield swapped, "before_g and after_g look swapped"


def _mended(text: str, reading: Decimal) -> Iterator[tuple[Decimal, str]]:
    for factor, words in _FACTORS.items():
        yield reading / factor, f"{words} the reading"
        yield reading * factor, f"{words} too small a reading"
    digits = [i for i, letter in enumerate(text) if letter.isdigit()]
    for i, j in pairwise(digits):
        if text[i] != text[j]:
            swapped = text[:i] + text[j] + text[i + 1 : j] + text[i] + text[j + 1 :]
            yield Decimal(swapped), f"{swapped} with two digits swapped"
