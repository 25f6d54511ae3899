"""P values of many looks, put right for their number.

In:  p values, None where there was no test, unrounded.
Out: the same, made to hold for all of a family together, in the same order.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Protocol, TypeVar

from trialpress.analyses.codes import Together

P_DECIMALS = 4
CANNOT_TELL = Together.CANNOT_TELL
Correction = Callable[[Sequence[float]], Sequence[float]]


class Look(Protocol):
    """A row of a table with a test; ``relation`` is what its interval alone allows to tell."""

    @property
    def p(self) -> float | None:
        """The p value of the look by itself."""

    @property
    def relation(self) -> str:
        """What is told."""


Row = TypeVar("Row", bound=Look)
Part = TypeVar("Part", bound=Look)


def holm(p_values: Sequence[float]) -> tuple[float, ...]:
    """Chances that any of all looks errs (family-wise error).

    Notes
    -----
    Source: Holm, Scand. J. Stat. 6 (1979) 65.
    """
    order = sorted(range(len(p_values)), key=lambda i: p_values[i])
    adjusted, so_far = [0.0] * len(p_values), 0.0
    for position, i in enumerate(order):
        so_far = max(so_far, min(1.0, (len(p_values) - position) * p_values[i]))
        adjusted[i] = so_far
    return tuple(adjusted)


def benjamini_hochberg(p_values: Sequence[float]) -> tuple[float, ...]:
    """Expected shares of errors among what is told (false discovery rate).

    Notes
    -----
    Source: Benjamini and Hochberg, J. R. Stat. Soc. B 57 (1995) 289.
    """
    order = sorted(range(len(p_values)), key=lambda i: p_values[i], reverse=True)
    adjusted, so_far = [0.0] * len(p_values), 1.0
    for position, i in enumerate(order):
        so_far = min(so_far, len(p_values) / (len(p_values) - position) * p_values[i])
        adjusted[i] = so_far
    return tuple(adjusted)


def corrected(p_values: Sequence[float | None], by: Correction) -> list[float | None]:
    """A family's p values put right, from unrounded ones and not rounded yet."""
    known = iter(by([p for p in p_values if p is not None]))
    return [None if p is None else next(known) for p in p_values]


def told_together(rows: Sequence[Row], confidence: float, by: Correction, column: str) -> list[Row]:
    """The rows of one family with their corrected p values in ``column``.

    What a row's interval allows to tell is told only where the corrected test says so too; p values
    are rounded afterwards.
    """
    p_values = corrected([row.p for row in rows], by)
    return [_told(row, p, confidence, column) for row, p in zip(rows, p_values, strict=True)]


def told_below(
    above: Row, parts: Sequence[Part], questions: Sequence[Row], confidence: float
) -> list[Part]:
    """The parts of one question, such as the groups of a factor, told only where it is told.

    Parameters
    ----------
    above : row
        The question, as ``told_together`` gave it back.
    parts : sequence of rows
        With unrounded p values.
    questions : sequence of rows
        The whole family that ``above`` is of.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    list of rows
        With corrected p values in ``p_fdr``.

    Notes
    -----
    The parts of R questions picked from m are held to R/m of the error rate: Benjamini and
    Bogomolov, J. R. Stat. Soc. B 76 (2014) 297 (from memory).
    """
    asked = sum(row.p is not None for row in questions)
    picked = sum(row.relation != CANNOT_TELL for row in questions)
    is_open = above.relation == CANNOT_TELL
    within = corrected([row.p for row in parts], benjamini_hochberg)
    p_values = [
        None if p is None else 1.0 if is_open else min(1.0, p * asked / picked) for p in within
    ]
    return [_told(row, p, confidence, "p_fdr") for row, p in zip(parts, p_values, strict=True)]


def _told(row: Row, p: float | None, confidence: float, column: str) -> Row:
    is_told = p is not None and p < 1 - confidence
    changes = {
        "p": published_p(row.p),
        column: published_p(p),
        "relation": row.relation if is_told else CANNOT_TELL,
    }
    return replace(row, **changes)  # type: ignore[type-var]


def published_p(p: float | None) -> float | None:
    """A p value as it is published; whatever is decided by it is decided before."""
    return None if p is None else round(p, P_DECIMALS)
