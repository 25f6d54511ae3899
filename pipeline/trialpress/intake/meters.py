"""Meters in ``bench.toml``: what can be said of them without a port.

In:  the tables ``[[meters]]`` as typed; the instruments of the catalogue.
Out: ``Meter``s, or findings; and the shape of a line as a pattern that can be looked for.

A shape is written as the line looks, with ``{value}`` in place of the number, ``{unit}`` of the
unit and ``{any}`` of whatever else may stand there: ``{any} {value} {unit}``. It is no regular
expression, so that a bench from elsewhere can hold none that never ends.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields

from trialpress.bench import Meter
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.nearest import nearest
from trialpress.intake.textfile import codes_of, unseen_characters
from trialpress.units import UnknownUnitError, dimension_of

BAUDS = frozenset({300, 600, 1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200})
LONGEST_SHAPE = 120
MOST_GAPS = 3
_PARTS = re.compile(r"(\{\w+\}|\s+)")
_FOUND: Mapping[str, str] = {
    "{value}": r"(?P<value>[-+]?\s*+[0-9]{1,9}(?:[.,][0-9]{1,9})?)",
    "{unit}": r"(?P<unit>[^\W0-9_][\w%()/]{0,9}|%)",
    "{any}": r".{0,40}?",
}
_BLANKS = r"\s*+"
"""All there are, as nothing that follows needs one: trying every share of them between three gaps
would take hours on a line of blanks."""
_KEYS = tuple(field.name for field in fields(Meter))
_NEEDED = ("name", "port", "unit")
_TABLE = "meters"


def shape(text: str) -> re.Pattern[str]:
    """What a line of this shape looks like; blanks in it may be missing or many.

    Raises
    ------
    ValueError
        If a name in braces is none of those there are, stands twice or leaves too many gaps.
    """
    parts = _PARTS.split(text.strip())
    names = [part for part in parts if part.startswith("{")]
    is_odd = any(name not in _FOUND for name in names) or names.count("{any}") > MOST_GAPS
    if is_odd or any(names.count(name) > 1 for name in ("{value}", "{unit}")):
        raise ValueError(text)
    made = [_BLANKS if part.isspace() else _FOUND.get(part) or re.escape(part) for part in parts]
    return re.compile("".join(made))


def check_meters(typed: object, file: str) -> Iterator[Finding]:
    """Check each table, by its keys."""
    tables = typed if isinstance(typed, list) else [typed]
    names = list[str]()
    for number, table in enumerate(tables, start=1):
        name = table.get("name") if isinstance(table, dict) else None
        where = (
            f"{_TABLE}.{name}" if isinstance(name, str) and name.strip() else f"{_TABLE} {number}"
        )
        if not isinstance(table, dict):
            yield found(FindingCode.SETTING_WRONG, Place(file, column=_TABLE), variant="meters")
            continue
        yield from _check_keys(table, file, where)
        if isinstance(name, str) and name in names:
            yield found(
                FindingCode.SETTING_WRONG, Place(file, column=where), name, variant="meter-twice"
            )
        names.append(str(name))


def _check_keys(table: Mapping[str, object], file: str, where: str) -> Iterator[Finding]:
    free = frozenset(_KEYS) - set(table)
    for key in sorted(set(table) - set(_KEYS)):
        near = nearest(key, free)
        place = Place(file, column=f"{where}.{key}")
        yield found(
            FindingCode.SETTING_UNKNOWN, place, variant="nearest" if near else "", nearest=near
        )
    for key in _KEYS:
        place = Place(file, column=f"{where}.{key}")
        value = table.get(key)
        if value is None:
            if key in _NEEDED:
                yield found(FindingCode.METER_INCOMPLETE, place)
        elif not _is_right(key, value):
            yield found(FindingCode.SETTING_WRONG, place, str(value), variant=f"meter-{key}")
        elif unseen := unseen_characters(str(value)):
            codes = codes_of(unseen)
            yield found(FindingCode.CONTROL_CHARACTER, place, str(value), codes=codes)


def _is_right(key: str, value: object) -> bool:
    if key == "baud":
        return isinstance(value, int) and value in BAUDS
    if not isinstance(value, str) or not value.strip():
        return False
    if key == "unit":
        return _is_unit(value)
    if key in {"pattern", "stable"}:
        return _is_shape(value, has_value=key == "pattern")
    return True


def _is_unit(text: str) -> bool:
    try:
        dimension_of(text)
    except UnknownUnitError:
        return False
    return True


def _is_shape(text: str, *, has_value: bool) -> bool:
    try:
        shape(text)
    except ValueError:
        return False
    return len(text) <= LONGEST_SHAPE and ("{value}" in text or not has_value)


def meters_of(typed: Sequence[Mapping[str, object]]) -> tuple[Meter, ...]:
    """The meters of tables without a fault."""
    return tuple(Meter(**table) for table in typed)  # type: ignore[arg-type]


def check_meter_instruments(
    meters: Sequence[Meter], units: Mapping[str, str], file: str
) -> Iterator[Finding]:
    """Check that the instruments of meters are there, and show what the meter sends.

    Parameters
    ----------
    meters : sequence of Meter
        Those of the settings.
    units : mapping of instrument to unit
        The catalogue's.
    file : str
        What the settings are called in findings.
    """
    for meter in meters:
        place = Place(file, column=f"{_TABLE}.{meter.name}.instrument")
        if meter.instrument is None:
            continue
        unit = units.get(meter.instrument)
        if unit is None:
            near = nearest(meter.instrument, frozenset(units))
            variant = "nearest" if near else ""
            yield found(
                FindingCode.METER_INSTRUMENT, place, meter.instrument, variant=variant, nearest=near
            )
        elif _is_unit(unit) and dimension_of(unit) != dimension_of(meter.unit):
            yield found(
                FindingCode.METER_INSTRUMENT,
                place,
                meter.instrument,
                variant="unit",
                shows=unit,
                sends=meter.unit,
            )
