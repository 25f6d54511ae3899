"""What the tester reads and types in each run.

In:  slots.
Out: rows of the reading tables, with the truth drawn around each set-up's own and read off
     instruments of finite resolution. Every run draws from a stream of its own, so that adding one
     changes no other.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from math import hypot
from statistics import NormalDist
from typing import TypeVar
from zlib import crc32

import numpy as np

from demo.incidents import OVER_RECOVERIES
from demo.protocols import TRUTHS
from demo.rows import Count, Grading, Reading, Value, Weighing
from demo.schedule import Slot
from demo.true_means import SETUP_TRUTHS

_SEED = 20240914
_TRIES = {"1": 60, "2": 100}
_ZONES = tuple(f"{row}{column}" for row in "abcd" for column in "12345")
_GRADERS = ("iv", "th")
_TESTER = "iv"
_ZONE_SD, _GRADER_SD = 0.5, 0.12  # grades
_KNEE_PCT = 4.0  # losses below it scatter less
_DAMP_RH_PCT, _DAMP_RUG_PCT = 70, 3.6  # a damp rug lets go of less dust
_MOSS_RUG, _MOSS_RUG_PCT, _MOSS_RUG_SD_PCT = "rug-moss", -3.5, 0.6  # as against the rug before it

Row = TypeVar("Row", Weighing, Value, Count, Grading)


@dataclass(frozen=True)
class Balance:
    """A balance, and the decimals it shows."""

    instrument: str
    decimals: int

    def read(self, mass_g: float) -> str:
        """The mass with the digits the display shows."""
        return f"{mass_g:.{self.decimals}f}"


_GREY = Balance("balance-grey", decimals=1)
_OAK = Balance("balance-oak", decimals=2)
_DOSE_SCALE = Balance("dose-scale", decimals=2)
_OAK_BOUGHT_ON = "2024-12-12"
_FILMED_FROM = "2024-10-01"


def stream(*words: str) -> np.random.Generator:
    """Random numbers that belong to these words and to nothing else."""
    return np.random.default_rng([_SEED, crc32("|".join(words).encode())])


def readings_of(slot: Slot) -> tuple[Reading, ...]:
    """The rows typed for one run: one, or a row for each zone and grader."""
    if not slot.is_read:  # only weighings are among them
        return (_row(Weighing, slot),)
    match slot.protocol.reading:
        case "collected":
            return (_collected(slot),)
        case "left":
            return (_left(slot),)
        case "count":
            return (_counted(slot),)
        case "value":
            return (_value(slot),)
        case _:
            return tuple(_graded(slot))


def _mean(slot: Slot) -> float:
    """What the run would give without run-to-run scatter: set-up, rug and day."""
    name, truth = slot.protocol.protocol, TRUTHS[slot.protocol.protocol]
    day = stream("day", slot.day.folder, name).normal(0.0, truth.day_sd)
    if name == "deep-rug" and float(slot.day.rh_pct) > _DAMP_RH_PCT:
        day -= _DAMP_RUG_PCT
    rug = 0.0
    if slot.protocol.floor == _MOSS_RUG:
        rug = stream("rug", slot.setup).normal(_MOSS_RUG_PCT, _MOSS_RUG_SD_PCT)
    return float(SETUP_TRUTHS[slot.setup].true_means[name] + day + rug)


def _scatter(slot: Slot) -> float:
    return TRUTHS[slot.protocol.protocol].run_sd * SETUP_TRUTHS[slot.setup].scatter


def _pickup_pct(slot: Slot, draws: np.random.Generator) -> float:
    """A pickup whose loss is skewed and shrinks towards zero, as real losses do."""
    loss = max(100.0 - _mean(slot), 0.1)
    sd = _scatter(slot) * min(1.0, (loss / _KNEE_PCT) ** 0.5)
    return 100.0 - float(draws.gamma((loss / sd) ** 2, sd**2 / loss))


def _dose_g(slot: Slot, draws: np.random.Generator) -> float:
    """What the sieve let through: well within the tolerance, since the tester aims at the dose."""
    reach = 0.6 * float(slot.protocol.dose_tolerance_g)
    return float(slot.protocol.dose_g) + float(draws.uniform(-reach, reach))


def _row(kind: type[Row], slot: Slot, **typed: str) -> Row:
    """A row with the run's columns filled in; readings and what else is typed are given."""
    shared = {
        "run": slot.run,
        "at": slot.at,
        "setup": slot.setup,
        "protocol": slot.protocol.protocol,
        "version": slot.protocol.version,
        "replicate": f"{slot.replicate}",
        "operator": "" if slot.status == "planned" else _TESTER,
        "clip": _clip(slot),
        "status": slot.status,
        "reason": slot.reason,
        "note": OVER_RECOVERIES[slot.key].note if slot.key in OVER_RECOVERIES else "",
    }
    columns = {field.name for field in fields(kind)}
    return kind(**{name: text for name, text in shared.items() if name in columns}, **typed)


def _weighing(slot: Slot, balance: Balance, dose_g: float, **masses: str) -> Weighing:
    return _row(
        Weighing,
        slot,
        instrument=balance.instrument,
        dose_g=_DOSE_SCALE.read(dose_g),
        dose_by="difference" if slot.protocol.protocol == "deep-rug" else "reading",
        dose_instrument=_DOSE_SCALE.instrument,
        soil_lot=_soil_lot(slot),
        **masses,
    )


def _collected(slot: Slot) -> Weighing:
    draws = stream(slot.run)
    dose_g = _dose_g(slot, draws)
    gain_g = dose_g * _pickup_pct(slot, draws) / 100
    if slot.key in OVER_RECOVERIES:
        gain_g += float(OVER_RECOVERIES[slot.key].extra_g)
    balance = _OAK if slot.day.date >= _OAK_BOUGHT_ON else _GREY
    if slot.protocol.protocol == "crumbs":
        return _weighing(slot, balance, dose_g, gain_g=balance.read(gain_g))
    container_g = stream("container", slot.setup).uniform(110, 520) + draws.normal(0, 0.4)
    masses = {
        "before_g": balance.read(container_g),
        "after_g": balance.read(container_g + gain_g),
    }
    return _weighing(slot, balance, dose_g, **masses)


def _left(slot: Slot) -> Weighing:
    draws = stream(slot.run)
    dose_g = _dose_g(slot, draws)
    left_g = dose_g * (100 - _pickup_pct(slot, draws)) / 100
    blank_g = stream("blank", slot.day.folder).uniform(0.02, 0.06)
    cloth_g = draws.normal(46, 0.8)
    masses = {
        "before_g": _DOSE_SCALE.read(cloth_g),
        "after_g": _DOSE_SCALE.read(cloth_g + left_g + blank_g),
        "blank_g": _DOSE_SCALE.read(blank_g),
    }
    return _weighing(slot, _DOSE_SCALE, dose_g, **masses)


def _counted(slot: Slot) -> Count:
    draws = stream(slot.run)
    tries = _TRIES[slot.protocol.version]
    hits = draws.binomial(tries, _pickup_pct(slot, draws) / 100)
    return _row(Count, slot, hits=f"{hits}", tries=f"{tries}")


def _value(slot: Slot) -> Value:
    value = _mean(slot) + stream(slot.run).normal(0, _scatter(slot))
    instrument = "level-meter" if slot.protocol.protocol == "noise" else "hall-clock"
    return _row(Value, slot, instrument=instrument, value=f"{value:.1f}")


def _graded(slot: Slot) -> Iterator[Grading]:
    """Some zones are harder in every run; each grader rounds a zone's shade in their own way."""
    draws = stream(slot.run)
    share = min(_mean(slot) + draws.normal(0, _scatter(slot)), 99.0) / 100
    shade = 1.5 - NormalDist().inv_cdf(share) * hypot(_ZONE_SD, _GRADER_SD)
    for zone in _ZONES:
        zone_shade = shade + stream("zone", zone).normal(0, _ZONE_SD)
        for grader in _GRADERS:
            grade = round(float(draws.normal(zone_shade, _GRADER_SD)))
            yield _row(Grading, slot, zone=zone, grader=grader, grade=f"{min(max(grade, 0), 4)}")


def _clip(slot: Slot) -> str:
    """The film and the timecode: ten runs a film, six minutes each. The first days had none."""
    if slot.day.date < _FILMED_FROM or slot.status == "planned":
        return ""
    film, place = divmod(int(slot.run[-2:]), 10)
    second = int(stream("clip", slot.run).integers(60))
    return f"{slot.day.folder}-{film}.mp4 {6 * place:02}:{second:02}"


def _soil_lot(slot: Slot) -> str:
    return f"{slot.protocol.soil}-{slot.day.date[2:4]}{'a' if slot.day.date[5:7] < '07' else 'b'}"
