"""Published digits, decided once.

In:  half-widths of the intervals of a series.
Out: a number of decimals for all its figures.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

MOST_DECIMALS = 6
WITHOUT_INTERVALS = 1


def decimals_for(half_widths: Iterable[float]) -> int:
    """Decimals that give the middle half-width two significant digits.

    Figures of one series share their decimals, so that they line up. Where no interval can be had
    one decimal is shown.

    Notes
    -----
    Source: JCGM 100:2008 (GUM), 7.2.6: at most two significant digits for an uncertainty.
    """
    known = sorted(width for width in half_widths if math.isfinite(width) and width > 0)
    if not known:
        return WITHOUT_INTERVALS
    middle = known[len(known) // 2]
    return min(max(1 - math.floor(math.log10(middle)), 0), MOST_DECIMALS)


def published(value: float, decimals: int) -> float | None:
    """The figure as it is published; None where there is none."""
    if not math.isfinite(value):
        return None
    return round(value, decimals) + 0.0  # no minus zero
