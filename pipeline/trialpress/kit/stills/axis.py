"""A scale from figures to pixels, with round figures to name on it.

In:  the least and the greatest figure, and the pixels there are.
Out: positions; ticks at round figures.

Short: one scale.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from trialpress.charts.typesetting import Face
from trialpress.kit.scene import Align, Mark, Role, Stroke, Type, level_line, upright_line
from trialpress.words import figures

LABEL = Type(Face.NUMERALS, 28, Role.MUTED)
STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True)
class Axis:
    """A level scale; figures outside of it lie at its ends."""

    low: float
    high: float
    left: int
    right: int

    def x(self, value: float) -> int:
        """Where a figure lies."""
        share = (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)
        return self.left + round(share * (self.right - self.left))

    def ticks(self, most: int = 5) -> list[float]:
        """Round figures, at most so many."""
        rough = (self.high - self.low) / most
        power = 10.0 ** math.floor(math.log10(rough))
        step = next(power * one for one in STEPS if power * one >= rough * 0.999)
        first, last = math.ceil(self.low / step), math.floor(self.high / step)
        return [number * step for number in range(first, last + 1)]

    def drawn(self, y: int, most: int = 5) -> Iterator[Mark]:
        """The scale itself, named below it."""
        yield from level_line(self.left, self.right, y, Stroke(2, Role.MUTED))
        for value in self.ticks(most):
            yield upright_line(self.x(value), y, y + 10, Stroke(2, Role.MUTED))
            text = figures.typed_number(value)
            yield LABEL.line(self.x(value), y + 40, text, 200, Align.MIDDLE)
