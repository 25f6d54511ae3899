"""Rules for a weighing that a Table Schema cannot say.

In:  valid weighings, their protocols and balances.
Out: findings. Where the balances are known, two masses differ only if they do by more than three
     times the standard uncertainty; where they are not, the masses are compared as they stand, and
     the finding says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.rows import InstrumentRecord, ProtocolRecord, WeighingRecord
from trialpress.intake.rules.records import BenchRecords

_WEIGHED = ("collected", "left")
_NOTHING = Decimal(0)


_TWELFTH = Decimal(1) / 12  # variance of one reading, in squared steps of the display
_SIXTH = Decimal(1) / 6  # variance of the difference of two readings


def check_weighings(records: BenchRecords) -> Iterator[Finding]:
    """Check each valid weighing of a protocol that is weighed."""
    for weighing in records.weighings:
        protocol = records.protocol_of(weighing)
        if weighing.is_valid and protocol is not None and protocol.reading in _WEIGHED:
            yield from _check_presence(weighing)
            yield from _check_dose(weighing, protocol)
            if protocol.reading == "collected":
                yield from _check_loss(weighing, records)
            yield from _check_pickup(weighing, protocol, records)


def _check_presence(weighing: WeighingRecord) -> Iterator[Finding]:
    """Either gain_g, or before_g and after_g."""
    masses = [column for column in ("before_g", "after_g") if weighing.has(column)]
    if weighing.has("gain_g") and masses:
        text = weighing.text("gain_g")
        also = " and ".join(masses)
        yield found(FindingCode.GAIN_AND_MASSES, weighing.place("gain_g"), text, also=also)
    elif not weighing.has("gain_g") and not masses:
        yield found(FindingCode.GAIN_OR_MASSES, weighing.place("gain_g"), variant="all")
    elif not weighing.has("gain_g") and len(masses) == 1:
        missing = "after_g" if masses == ["before_g"] else "before_g"
        yield found(FindingCode.GAIN_OR_MASSES, weighing.place(missing))


def _check_dose(weighing: WeighingRecord, protocol: ProtocolRecord) -> Iterator[Finding]:
    wanted, tolerance, dose = protocol.dose_g, protocol.dose_tolerance_g, weighing.dose_g
    if wanted is None or tolerance is None or dose is None:
        return
    if abs(dose - wanted) > tolerance:
        yield found(
            FindingCode.DOSE_OUTSIDE_TOLERANCE,
            weighing.place("dose_g"),
            weighing.text("dose_g"),
            wanted=protocol.text("dose_g"),
            tolerance=protocol.text("dose_tolerance_g"),
            off=_grams(abs(dose - wanted)),
        )


def _check_loss(weighing: WeighingRecord, records: BenchRecords) -> Iterator[Finding]:
    """A container gains mass or keeps it; it may lose only what the untreated control lost too."""
    gained = gain_of(weighing)
    if gained is None:
        return
    lost = -gained
    margin = gain_margin_g(weighing, records.instrument_of(weighing.instrument))
    allowed = max(_NOTHING, -(weighing.blank_g or _NOTHING)) + (margin or _NOTHING)
    if lost > allowed:
        column = gain_column(weighing)
        yield found(
            FindingCode.MASS_LOST if column == "after_g" else FindingCode.GAIN_NEGATIVE,
            weighing.place(column),
            weighing.text(column),
            variant="" if margin is not None else "unknown",
            before=weighing.text("before_g"),
            lost=_grams(lost),
        )


def _check_pickup(
    weighing: WeighingRecord, protocol: ProtocolRecord, records: BenchRecords
) -> Iterator[Finding]:
    """More than all of the dose, or less than none of it, beyond what the balances explain."""
    gained, dose = gain_of(weighing), weighing.dose_g
    if gained is None or dose is None:
        return
    net = gained - (weighing.blank_g or _NOTHING)
    balance = records.instrument_of(weighing.instrument)
    whole = pickup_margin_g(weighing, net, balance, records.instrument_of(weighing.dose_instrument))
    if protocol.reading == "collected" and net - dose > (whole or _NOTHING):
        yield _beyond(FindingCode.OVER_RECOVERED, weighing, net, whole)
    if protocol.reading == "left":
        margin = gain_margin_g(weighing, balance)
        if -net > (margin or _NOTHING):
            yield _beyond(FindingCode.OVER_RECOVERED, weighing, net, margin, left="left")
        if net - dose > (whole or _NOTHING):
            yield _beyond(FindingCode.LEFT_ABOVE_DOSE, weighing, net, whole)


def _beyond(
    code: FindingCode,
    weighing: WeighingRecord,
    net: Decimal,
    margin: Decimal | None,
    *,
    left: str = "",
) -> Finding:
    column = gain_column(weighing)
    unknown = "unknown" if margin is None else ""
    return found(
        code,
        weighing.place(column),
        weighing.text(column),
        variant="-".join(part for part in (left, unknown) if part),
        gain=_grams(net),
        dose=weighing.text("dose_g"),
        margin=_margin(margin),
    )


def gain_of(weighing: WeighingRecord) -> Decimal | None:
    """Mass gained before the blank is taken off; ``None`` where it was not noted in one way."""
    has_masses = weighing.has("before_g") or weighing.has("after_g")
    if weighing.gain_g is not None and not has_masses:
        return weighing.gain_g
    if weighing.has("gain_g") or weighing.before_g is None or weighing.after_g is None:
        return None
    return weighing.after_g - weighing.before_g


def gain_column(weighing: WeighingRecord) -> str:
    """The column that the gain is looked for in first."""
    return "gain_g" if weighing.has("gain_g") else "after_g"


def _grams(mass: Decimal) -> str:
    """A mass with the digits it has."""
    return f"{mass:f}"


def _margin(margin: Decimal | None) -> str:
    """Three standard uncertainties, to two significant digits."""
    return "" if margin is None else f"{Decimal(f'{margin:.1e}'):f}"


def gain_margin_g(weighing: WeighingRecord, balance: InstrumentRecord | None) -> Decimal | None:
    """Three standard uncertainties of the mass gained.

    Notes
    -----
    Source: JCGM 100:2008 (GUM), 4.3.7: a reading is rectangular within one step of the display.
    """
    return None if balance is None else 3 * _gain_variance(weighing, balance).sqrt()


def pickup_margin_g(
    weighing: WeighingRecord,
    gain_g: Decimal,
    balance: InstrumentRecord | None,
    dose_balance: InstrumentRecord | None,
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


def _gain_variance(weighing: WeighingRecord, balance: InstrumentRecord) -> Decimal:
    differences = 1 if weighing.blank_g is None else 2
    return differences * _SIXTH * balance.resolution**2
