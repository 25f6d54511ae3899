"""How far apart two masses must lie before a rule calls them different.

In:  a weighing and its balances.
Out: three standard uncertainties, in grams; ``None`` where a balance is not known.
"""

from __future__ import annotations

from decimal import Decimal

from trialpress.intake.records import Instrument, Weighing

_TWELFTH = Decimal(1) / 12  # variance of one reading, in squared steps of the display
_SIXTH = Decimal(1) / 6  # variance of the difference of two readings


def gain_margin_g(weighing: Weighing, balance: Instrument | None) -> Decimal | None:
    """Three standard uncertainties of the mass gained.

    Notes
    -----
    Source: JCGM 100:2008 (GUM), 4.3.7: a reading is rectangular within one step of the display.
    """
    return None if balance is None else 3 * _gain_variance(weighing, balance).sqrt()


def pickup_margin_g(
    weighing: Weighing, gain_g: Decimal, balance: Instrument | None, dose_balance: Instrument | None
) -> Decimal | None:
    """Three standard uncertainties of the mass gained less the dose.

    The scales of two balances may be off by different shares; on one balance, or where there was
    no calibration, nothing is added for that.
    """
    if balance is None or dose_balance is None:
        return None
    dose_steps = _TWELFTH if weighing.dose_by == "reading" else _SIXTH
    variance = _gain_variance(weighing, balance) + dose_steps * dose_balance.resolution**2
    if balance.instrument != dose_balance.instrument:
        for scale in (balance, dose_balance):
            variance += (gain_g * (scale.calibration_u or 0)) ** 2
    return 3 * variance.sqrt()


def _gain_variance(weighing: Weighing, balance: Instrument) -> Decimal:
    differences = 1 if weighing.blank_g is None else 2
    return differences * _SIXTH * balance.resolution**2
