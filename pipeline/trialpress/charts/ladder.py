"""The ladder: a row a set-up, its interval beside the places it cannot be ruled out of.

In:  a ``Ladder``: rows in order, with figures rounded to published digits.
Out: compiled Vega specifications, wide and narrow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from trialpress.charts import wording
from trialpress.charts.chart import Json
from trialpress.charts.fitting import fit
from trialpress.charts.form import read_form
from trialpress.charts.scale import place_ticks, value_domain
from trialpress.charts.theme import TEXT_SIZE
from trialpress.words import say

GAP, FIGURES_WIDTH = 14, 42
BRACKET_REACH = 0.4  # of a place, to either side, so that a single place is a bracket too
SWATCH, SWATCH_HEIGHT, SWATCH_SPACE, KEY_LINE_HEIGHT, LONGEST_KEY = 20, 12, 7, 16, 3


@dataclass(frozen=True)
class Layout:
    """Measures in pixels; bands from 0, the top of a row, to 1."""

    step: int
    name_width: int
    interval_width: int
    places_width: int
    name_band: float
    mark_band: float
    tint_band: float
    key_step: tuple[int, int]

    @property
    def key_height(self) -> int:
        """The room above all rows, however many marks the key has."""
        return (LONGEST_KEY - 1) * self.key_step[1] + KEY_LINE_HEIGHT


WIDE = Layout(
    step=26,
    name_width=262,
    interval_width=244,
    places_width=164,
    name_band=0.5,
    mark_band=0.5,
    tint_band=0,
    key_step=(226, 0),
)
NARROW = Layout(
    step=42,
    name_width=244,
    interval_width=168,
    places_width=116,
    name_band=0.27,
    mark_band=0.73,
    tint_band=0.5,
    key_step=(0, 18),
)


@dataclass(frozen=True)
class KeyItem:
    """One mark of the key, in the order of ``slot``."""

    slot: int
    mark: str
    words: str


@dataclass(frozen=True)
class LadderRow:
    """One set-up of a ladder. ``is_open``: too few runs; ``is_dashed``: on one run."""

    setup: str
    position: int
    name: str
    mean: float
    low: float | None
    high: float | None
    place_best: int
    place_worst: int
    places: str
    is_open: bool
    is_dashed: bool
    reading: str


@dataclass(frozen=True)
class Ladder:
    """All that a ladder shows; ``heading`` is over the intervals."""

    heading: str
    top_n: int
    rows: Sequence[LadderRow]

    @property
    def ends(self) -> tuple[float, float]:
        """Those of the axis of values."""
        return value_domain(end for row in self.rows for end in (row.mean, row.low, row.high))

    @property
    def places(self) -> int:
        """How many the axis of places has."""
        return max(len(self.rows), *(row.place_worst for row in self.rows))

    def key(self, rows: Sequence[LadderRow]) -> list[KeyItem]:
        """Only the marks that occur in these rows."""
        items = [("tint", wording.top_cut_key(self.top_n))]
        if any(row.is_open for row in rows):
            items.append(("dot", say(wording.FEW_RUNS_KEY)))
        if any(row.is_dashed for row in rows):
            items.append(("dashes", say(wording.ONE_RUN_KEY)))
        return [KeyItem(slot, mark, words) for slot, (mark, words) in enumerate(items)]


def draw_ladder(ladder: Ladder, *, narrow: bool) -> dict[str, Json]:
    """The compiled specification of one ladder, wide or narrow."""
    low, high = ladder.ends
    signals: dict[str, Json] = {
        "heading": ladder.heading,
        "value_low": low,
        "value_high": high,
        "places": ladder.places,
        "place_ticks": [*place_ticks(ladder.places)],
        "top_n": min(ladder.top_n, ladder.places),
    }
    rows = fitted_rows(ladder.rows, NARROW if narrow else WIDE)
    form = read_form("ladder-narrow" if narrow else "ladder-wide")
    words = {"places": say(wording.PLACES_HEADING)}
    return form.filled({"rows": rows, "key": ladder.key(rows)}, signals, words)


def fitted_rows(rows: Sequence[LadderRow], layout: Layout) -> list[LadderRow]:
    """Rows whose names are no wider than their room."""
    return [replace(row, name=fit(row.name, layout.name_width, TEXT_SIZE)) for row in rows]
