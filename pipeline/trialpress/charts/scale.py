"""Where axes begin, end and carry figures.

In:  the values, or the number of places, that an axis has to show.
Out: a domain that holds them all, and the places to name.
"""

from __future__ import annotations

from collections.abc import Iterable

MARGIN = 0.05
FEW_PLACES = 10
TICK_EVERY = 10


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
