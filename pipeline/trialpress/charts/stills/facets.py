"""Panels side by side and below one another, each under its heading.

In:  panels in order, with how far their axes reach beyond them.
Out: a ``Drawing``.

Short: what a panel shows is drawn by those who have one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trialpress.charts.fitting import text_width
from trialpress.charts.stills.marks import Drawing, heading, heading_height, moved
from trialpress.charts.theme import SMALL_TEXT_SIZE

HEADING_GAP, PADDING = 10, 3


@dataclass(frozen=True)
class Panel:
    """Marks in a box of pixels, and how far they reach beyond it to each side but the right."""

    heading: str
    width: float
    height: float
    marks: str
    left: float = 0
    top: float = 0
    bottom: float = 0

    @property
    def above(self) -> float:
        """How far it reaches up, with its heading."""
        return self.top + HEADING_GAP + heading_height(self.heading)

    @property
    def headed(self) -> str:
        """Its marks under its heading."""
        return self.marks + heading(self.heading, -self.top - HEADING_GAP)

    @property
    def reach(self) -> float:
        """How far it reaches to the right: as far as it is wide, or its heading."""
        lines = self.heading.split("\n")
        return max(self.width, *(text_width(line, SMALL_TEXT_SIZE) for line in lines))


def facets(panels: Sequence[Panel], columns: int, row_gap: float, column_gap: float) -> Drawing:
    """Put panels in rows of so many, each as far from its neighbours as what they reach asks."""
    rows = [panels[start : start + columns] for start in range(0, len(panels), columns)]
    widths = [max(row[at].reach for row in rows if at < len(row)) for at in range(columns)]
    first = PADDING - 1 + max(row[0].left for row in rows)
    drawn, right, bottom = [], 0.0, 0.0
    downs = [PADDING + max(panel.above for panel in rows[0])] * columns
    for row in rows:
        x = first
        depth = max(panel.height + panel.bottom for panel in row)
        for at, panel in enumerate(row):
            x += widths[at - 1] + column_gap + panel.left if at else 0
            y = downs[at] + panel.above if row is not rows[0] else downs[at]
            drawn.append(moved(panel.headed, x, y))
            right, bottom = max(right, x + panel.reach), max(bottom, y + depth)
            downs[at] = y + depth + row_gap
    return Drawing(math.ceil(right) + PADDING - 1, math.ceil(bottom) + 1, "".join(drawn))
