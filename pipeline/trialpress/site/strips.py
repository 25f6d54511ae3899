"""The small drawing beside a place: which places the data cannot rule out.

In:  a set-up's place and range of places, and how many set-ups are ranked.
Out: coordinates for one SVG of fixed size: a tick a place, the top cut as a ground, a bracket over
     the places that are possible, a dot at the place by value.
"""

from __future__ import annotations

from dataclasses import dataclass

WIDTH = 120.0
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
class Strip:
    """One row's bracket, as an SVG path, and the middle of its dot."""

    bracket: str
    dot: str


def strip_scale(ranked: int, top_n: int) -> StripScale:
    """The ticks and the ground of a standing with ``ranked`` set-ups."""
    step = WIDTH / max(ranked, 1)
    ticks = "".join(f"M{_xy(step * (place + 0.5))} 12v3" for place in range(ranked))
    return StripScale(_xy(WIDTH), ticks, _xy(step * min(top_n, ranked)), step)


def place_strip(scale: StripScale, place: int, best: int, worst: int) -> Strip:
    """The bracket from ``best`` to ``worst`` and the dot at ``place``."""
    overhang = max(scale.step * OVERHANG, LEAST_HALF_WIDTH)
    left = max(scale.step * (best - 0.5) - overhang, 0.5)
    right = min(scale.step * (worst - 0.5) + overhang, WIDTH - 0.5)
    return Strip(
        bracket=f"M{_xy(left)} {FOOT}V{ROOF}H{_xy(right)}V{FOOT}",
        dot=_xy(scale.step * (place - 0.5)),
    )


def _xy(coordinate: float) -> str:
    return f"{coordinate:.2f}".rstrip("0").rstrip(".")
