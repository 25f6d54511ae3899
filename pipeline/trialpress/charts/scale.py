"""Where axes begin, end and carry figures.

In:  the values, or the number of places, that an axis has to show.
Out: a domain that holds them all, and the places to name.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import date

MARGIN = 0.05
FEW_PLACES = 10
TICK_EVERY = 10
MONTHS_APART = (1, 2, 3, 6, 12, 24, 60, 120)
YEAR = 12
FIGURES = 6
"""About so many figures along an axis, so that a narrow one has room for them."""


def value_domain(values: Iterable[float | None]) -> tuple[float, float]:
    """Both ends of an axis that shows every value with a little air; never forced to zero.

    Parameters
    ----------
    values : iterable of float or None
        Means and ends of intervals, in the unit of the axis; None is a missing end.

    Returns
    -------
    tuple of float
        Lower and upper end. A single value gets a tenth of itself on both sides, or 1 around zero.
    """
    known = [value for value in values if value is not None]
    low, high = min(known), max(known)
    width = high - low
    air = MARGIN * width if width > 0 else abs(low) / 10 or 1.0
    return low - air, high + air


def place_ticks(places: int) -> list[int]:
    """The places an axis names: all while they are few, else the first and every tenth."""
    if places <= FEW_PLACES:
        return list(range(1, places + 1))
    return [1, *range(TICK_EVERY, places + 1, TICK_EVERY)]


def date_ticks(first: date, last: date, most: int) -> list[date]:
    """First days of months to name on an axis of dates; its first and last day where it is short.

    Months lie as close as leaves no more than ``most`` of them.
    """
    months = range(first.year * YEAR + first.month - 1, last.year * YEAR + last.month)
    for apart in MONTHS_APART:
        starts = [date(m // YEAR, m % YEAR + 1, 1) for m in months if m % apart == 0]
        within = [start for start in starts if first <= start]
        if len(within) <= most:
            break
    return within if len(within) > 1 else sorted({first, last})


def nice_ticks(low: float, high: float) -> tuple[list[float], float]:
    """Round values within an axis, and the step between them: 1, 2 or 5 times a power of ten.

    Parameters
    ----------
    low, high : float
        Ends of the axis, ``low`` below ``high``.
    """
    rough = (high - low) / FIGURES
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(step * power for step in (1, 2, 5, 10) if step * power >= rough)
    first, last = math.ceil(low / step), math.floor(high / step)
    return [number * step for number in range(first, last + 1)], step
