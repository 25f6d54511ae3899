"""Units as spec sheets write them, brought to one unit a dimension.

In:  a figure and its unit as typed: ``78 inH2O``, ``128 m3/h``, ``64 dB(A)``.
Out: the figure in the unit all figures of its dimension are told in, or ``UnknownUnitError``.

A sound level is a dimension of its own: dB(A) is no ratio that could be turned into something
else, and dB without its weighting is not dB(A).
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from trialpress.cache import kept

if TYPE_CHECKING:
    import pint

LEGAL = re.compile(r"[A-Za-zµμΩ°%][A-Za-z0-9µμΩ°%_/*.·²³₂^() -]{0,39}")
POWER = re.compile(r"(?<=[A-Za-z])\^?([23])(?![0-9A-Za-z])")
ALIASES: Mapping[str, str] = {
    "dB(A)": "sound_level_A",
    "dBA": "sound_level_A",
    "dB": "sound_level_unweighted",
    "%": "percent",
    "cfm": "ft**3/min",
    "CFM": "ft**3/min",
    "l/s": "L/s",
}
DEFINITIONS = (
    "sound_level_A = [sound_level_A]",
    "sound_level_unweighted = [sound_level_unweighted]",
)
TOLD_IN: tuple[tuple[str, str], ...] = (
    ("pressure", "kPa"),
    ("flow", "L/s"),
    ("power", "W"),
    ("time", "min"),
    ("mass", "kg"),
    ("length", "mm"),
    ("volume", "L"),
    ("energy", "Wh"),
    ("sound level, A-weighted", "dB(A)"),
    ("sound level, unweighted", "dB"),
    ("share", "%"),
)
"""Each dimension by name, and the unit that its figures are told in."""
ALREADY: Mapping[str, str] = {told_in: dimension for dimension, told_in in TOLD_IN}
"""Units that nobody has to be asked for."""


class UnknownUnitError(ValueError):
    """The text is no unit; whoever asks words it for people."""


@dataclass(frozen=True)
class Measure:
    """A figure in the unit of its dimension; ``dimension`` is ``TOLD_IN``'s word for it."""

    value: float
    unit: str
    dimension: str


def normalised(value: float, unit: str) -> Measure:
    """Bring a figure to the unit of its dimension.

    Parameters
    ----------
    value : float
        The figure.
    unit : str
        Its unit as typed.

    Raises
    ------
    UnknownUnitError
        If the unit is not known, or of a dimension that nothing here is told in.

    Notes
    -----
    Factors are those of pint; they agree with NIST SP 811, appendix B.
    """
    dimension, told_in, factor = _factor(unit)
    return Measure(value * factor, told_in, dimension)


def dimension_of(unit: str) -> str:
    """The name of a unit's dimension.

    Raises
    ------
    UnknownUnitError
        As ``normalised`` does.
    """
    return _factor(unit)[0]


@cache
def _factor(unit: str) -> tuple[str, str, float]:
    """Dimension, unit told in, and what a figure is multiplied with."""
    if unit in ALREADY:
        return ALREADY[unit], unit, 1.0
    made = kept("unit", [unit.encode()], lambda: json.dumps(_worked_out(unit)).encode())
    found = json.loads(made)
    if found is None:
        raise UnknownUnitError(unit)
    dimension, told_in, factor = found
    return dimension, told_in, factor


def _worked_out(unit: str) -> tuple[str, str, float] | None:
    """The same by pint; None where the unit is not known."""
    try:
        return _by_pint(unit)
    except UnknownUnitError:
        return None


def _by_pint(unit: str) -> tuple[str, str, float]:
    parsed = _parsed(unit)
    for dimension, told_in in TOLD_IN:
        target = _parsed(told_in)
        if parsed.dimensionality == target.dimensionality:
            return dimension, told_in, float(_registry().convert(1.0, parsed, target))
    raise UnknownUnitError(unit)


@cache
def _parsed(unit: str) -> pint.Unit:
    text = ALIASES.get(unit) or _spelt_out(unit)
    try:
        return _registry().parse_units(text)
    except Exception as error:
        # pint's parser fails in as many ways as text can be wrong.
        raise UnknownUnitError(unit) from error


def _spelt_out(unit: str) -> str:
    """A unit's text as pint reads it: ``m3/h`` is ``m**3/h``."""
    if not LEGAL.fullmatch(unit.replace("₂", "2")):
        raise UnknownUnitError(unit)
    plain = unit.replace("₂", "2").replace("³", "3").replace("²", "2").replace("·", "*")
    return POWER.sub(r"**\1", plain)


@cache
def _registry() -> pint.UnitRegistry[float]:
    """Pint takes half a second to start, so that nobody waits for it without a claim."""
    import pint  # noqa: PLC0415 -- see above

    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    for definition in DEFINITIONS:
        registry.define(definition)
    return registry
