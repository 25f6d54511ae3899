"""The small drawings of a line: the places the data cannot rule out, and the interval.

In:  a set-up's place and range of places, and how many set-ups are ranked; its mean and interval,
     and those of the others.
Out: coordinates for SVGs of fixed size. Places: ticks, the top cut as a ground, a bracket over the
     places that are possible, a dot at the place by value. Interval: a line from end to end on the
     scale of its series, a stroke at the mean.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from trialpress.charts.scale import value_domain

WIDTH = 120.0
MOST_TICKS = 60
"""More would be a grey band; then only every second, fifth, tenth … place has one."""
STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500)
ROOF = 3.5
FOOT = 9.5
OVERHANG = 0.32
LEAST_HALF_WIDTH = 1.6


@dataclass(frozen=True)
class StripScale:
    """What all strips of one standing share. ``cut_width`` is how far the top cut reaches."""

    width: str
    ticks: str
    cut_width: str
    step: float


@dataclass(frozen=True)
class PlaceStrip:
    """One row's bracket, as an SVG path, and the middle of its dot."""

    bracket: str
    dot: str


def strip_scale(ranked: int, top_n: int) -> StripScale:
    """The ticks and the ground of a standing with ``ranked`` set-ups."""
    step = WIDTH / max(ranked, 1)
    every = next((every for every in STEPS if ranked <= every * MOST_TICKS), STEPS[-1])
    others = len(range(every, ranked, every))
    ticks = (
        f"M{_xy(step / 2)} 12v3" + f"m{step * every:.3f}-3v3" * others
    )  # alike, so that it packs
    return StripScale(_xy(WIDTH), ticks, _xy(step * min(top_n, ranked)), step)


def place_strip(scale: StripScale, place: int, best: int, worst: int) -> PlaceStrip:
    """The bracket from ``best`` to ``worst`` and the dot at ``place``."""
    overhang = max(scale.step * OVERHANG, LEAST_HALF_WIDTH)
    left = max(scale.step * (best - 0.5) - overhang, 0.5)
    right = min(scale.step * (worst - 0.5) + overhang, WIDTH - 0.5)
    return PlaceStrip(
        bracket=f"M{_xy(left)} {FOOT}V{ROOF}H{_xy(right)}V{FOOT}",
        dot=_xy(scale.step * (place - 0.5)),
    )


@dataclass(frozen=True)
class ValueScale:
    """From the lowest to the highest figure of a series; ``mark`` is where the first stands."""

    low: float
    high: float
    mark: str


@dataclass(frozen=True)
class Reach:
    """One set-up's interval (blank where there is none) and its mean, as SVG paths."""

    line: str
    mean: str


def value_scale(values: Iterable[float | None], first: float) -> ValueScale:
    """The scale that holds all means and ends of intervals, with a mark at the first's mean."""
    low, high = value_domain(values)
    return ValueScale(low, high, _xy(WIDTH * (first - low) / (high - low)))


def reach(scale: ValueScale, mean: float, low: float | None, high: float | None) -> Reach:
    """The line from ``low`` to ``high`` and the stroke at the mean."""

    def at(value: float) -> str:
        return _xy(WIDTH * (value - scale.low) / (scale.high - scale.low))

    line = "" if low is None or high is None else f"M{at(low)} 8H{at(high)}"
    return Reach(line, f"M{at(mean)} 3V13")


def _xy(coordinate: float) -> str:
    return f"{coordinate:.2f}".rstrip("0").rstrip(".")
