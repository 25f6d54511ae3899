"""Pickup from weighings: what was gained against what was spread.

In:  masses in grams and what is known of the balances, one array element a run.
Out: a budget in percent.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trialpress.measure.budget import DIFFERENCE, RECTANGULAR, Budget, Component, Floats


@dataclass(frozen=True)
class Weighed:
    """Weighings of n runs, every array of shape (n,).

    ``before_g`` and ``after_g`` are NaN where ``gain_g`` was noted instead, and the other way
    round; ``blank_g`` is NaN where there was no untreated control. ``dose_is_difference`` is 1.0
    where the dose was weighed by difference. Resolutions (grams) and scale uncertainties (relative
    standard uncertainty) are NaN where they are not known. ``same_balance`` is 1.0 where dose and
    gain were weighed on one balance, 0.0 where on two or where that is not known.
    """

    before_g: Floats
    after_g: Floats
    gain_g: Floats
    blank_g: Floats
    dose_g: Floats
    dose_is_difference: Floats
    resolution_g: Floats
    scale_u: Floats
    dose_resolution_g: Floats
    dose_scale_u: Floats
    same_balance: Floats


def pickup_collected(weighed: Weighed) -> Budget:
    """Share of the dose that the machine's container gained, in percent.

    Returns
    -------
    Budget
        Of 100 * gain / dose with gain = after - before - blank.

    Notes
    -----
    Source: JCGM 100:2008 (GUM), section 5.1; a reading of resolution d is rectangular, so that its
    standard uncertainty is d / sqrt(12) and that of a difference d / sqrt(6). An offset of the
    balance cancels in a difference, an error of its scale in a ratio on one balance.
    """
    ratio = _net_gain_g(weighed) / weighed.dose_g
    return Budget(100 * ratio, _components(weighed, ratio, sign=1.0))


def pickup_from_left(weighed: Weighed) -> Budget:
    """Share of the dose that did not stay behind, in percent.

    Returns
    -------
    Budget
        Of 100 * (1 - gain / dose), the gain being that of the floor panel, cloth or filter.

    Notes
    -----
    Source: as for ``pickup_collected``.
    """
    ratio = _net_gain_g(weighed) / weighed.dose_g
    return Budget(100 * (1 - ratio), _components(weighed, ratio, sign=-1.0))


def _net_gain_g(weighed: Weighed) -> Floats:
    noted = np.isnan(weighed.gain_g)
    gain_g = np.where(noted, weighed.after_g - weighed.before_g, weighed.gain_g)
    return gain_g - np.where(np.isnan(weighed.blank_g), 0.0, weighed.blank_g)


def _components(weighed: Weighed, ratio: Floats, *, sign: float) -> tuple[Component, ...]:
    per_gain = sign * 100 / weighed.dose_g
    per_dose = -per_gain * ratio
    has_blank = np.where(np.isnan(weighed.blank_g), 0.0, 1.0)
    dose_steps = np.where(weighed.dose_is_difference == 1, DIFFERENCE, RECTANGULAR)
    per_scale = np.where(weighed.same_balance == 1, 0.0, sign * 100 * ratio)
    return (
        Component("gain, by difference", weighed.resolution_g * DIFFERENCE, per_gain),
        Component("blank, by difference", weighed.resolution_g * DIFFERENCE, -per_gain * has_blank),
        Component("dose", weighed.dose_resolution_g * dose_steps, per_dose),
        Component("scale of the gain's balance", weighed.scale_u, per_scale, is_shared=True),
        Component("scale of the dose's balance", weighed.dose_scale_u, -per_scale, is_shared=True),
    )
