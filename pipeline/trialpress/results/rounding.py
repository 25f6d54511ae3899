"""Published digits, decided once.

In:  half-widths of the intervals of a series.
Out: a number of decimals for all its figures.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from trialpress.results.spread import Floats

MOST_DECIMALS = 6
WITHOUT_INTERVALS = 1
NOISE_DIGITS = 6
NEAR_TIE = 1e-5  # wider than the noise that is taken off


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


def half_even(value: float, decimals: int) -> float:
    """The decimal nearest to a finite figure; of two that are equally near the even one.

    A tie is one of the decimals that were typed, not of the binary fractions next to them: 13.15,
    the mean of 13.1 and 13.2, is one. Binary noise is taken off in the sixth digit after the last
    published one. Queries have the same rule: ``round_even(round(x * 10^d, 6), 0) / 10^d``.

    Notes
    -----
    Source: IEEE 754-2019, 4.3.1, roundTiesToEven; ISO 80000-1, B.3, rule A.
    """
    scale: int = 10**decimals
    return round(round(value * scale, NOISE_DIGITS)) / scale + 0.0  # no minus zero


def half_even_all(values: Floats, decimals: int) -> Floats:
    """The same for an array of any shape; what is not finite stays as it is.

    Only next to a tie does binary noise matter, so only there each figure is rounded by itself.
    """
    scaled = values * float(10**decimals)
    rounded = np.asarray(np.rint(scaled) / float(10**decimals) + 0.0)
    is_near_tie = np.abs(np.abs(scaled - np.floor(scaled)) - 0.5) < NEAR_TIE
    rounded[is_near_tie] = [half_even(value, decimals) for value in values[is_near_tie].tolist()]
    return rounded


def published(value: float, decimals: int) -> float | None:
    """The figure as it is published; None where there is none."""
    return half_even(value, decimals) if math.isfinite(value) else None
