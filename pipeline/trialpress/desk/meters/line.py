"""What one line from a meter says.

In:  a line of text, the meter it came from, and the unit that is wanted.
Out: a reading with every digit of the line, or None where the line has another shape.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from functools import cache

from trialpress.bench import Meter
from trialpress.intake.meters import shape
from trialpress.units import UnknownUnitError, dimension_of, normalised

_shape = cache(shape)


@dataclass(frozen=True)
class LineReading:
    """A number as the meter wrote it, with a decimal point; ``line`` is the raw line."""

    value: Decimal
    unit: str
    is_stable: bool
    line: str


def read_line(meter: Meter, line: str) -> LineReading | None:
    """Read one line.

    Parameters
    ----------
    meter : Meter
        Whose line it is: its pattern, the shape of stable lines, the unit where a line has none.
    line : str
        Without its end.

    Returns
    -------
    LineReading or None
        None where the line has another shape, or a unit that is none of the meter's dimension.
    """
    text = line.strip()
    match = _shape(meter.pattern).fullmatch(text)
    if match is None:
        return None
    parts = match.groupdict()
    number = Decimal("".join(parts["value"].split()).replace(",", "."))
    unit = parts.get("unit") or meter.unit
    is_stable = meter.stable is None or _shape(meter.stable).fullmatch(text) is not None
    return LineReading(number, unit, is_stable, text) if _are_alike(unit, meter.unit) else None


def fits(meter: Meter, unit: str) -> bool:
    """Whether a reading of this meter can stand in a field with this unit."""
    return _are_alike(meter.unit, unit)


def _are_alike(one: str, other: str) -> bool:
    try:
        return one == other or dimension_of(one) == dimension_of(other)
    except UnknownUnitError:
        return False


def converted(reading: LineReading, unit: str) -> str:
    """The reading in another unit, as text, no surer and no coarser than the meter's last digit.

    Parameters
    ----------
    reading : LineReading
        A reading in a unit of the same dimension.
    unit : str
        The unit that is wanted.

    Returns
    -------
    str
        With a decimal point. Between units that are powers of ten apart every digit stays; else it
        is rounded half to even to the digit at or below the meter's last one.
    """
    if reading.unit == unit:
        return f"{reading.value:f}"
    factor = normalised(1.0, reading.unit).value / normalised(1.0, unit).value
    power = round(math.log10(factor))
    if math.isclose(factor, 10.0**power, rel_tol=1e-12):
        return f"{reading.value.scaleb(power):f}"
    step = Decimal(1).scaleb(int(reading.value.as_tuple().exponent)) * Decimal(repr(factor))
    digit = Decimal(1).scaleb(step.adjusted())
    exact = reading.value * Decimal(repr(factor))
    return f"{exact.quantize(digit, rounding=ROUND_HALF_EVEN):f}"
