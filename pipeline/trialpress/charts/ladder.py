"""The ladder: a row a set-up, its interval beside the places it cannot be ruled out of.

In:  a ``Ladder``: rows in order, with figures rounded to published digits.
Out: compiled Vega specifications, wide and narrow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from trialpress.charts.chart import Json
from trialpress.charts.fitting import fit
from trialpress.charts.ladder_form import NARROW, WIDE, ladder_mould
from trialpress.charts.ladder_key import key_items
from trialpress.charts.scale import place_ticks, value_domain
from trialpress.charts.style import TEXT_SIZE


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


def draw_ladder(ladder: Ladder, *, narrow: bool) -> dict[str, Json]:
    """The compiled specification of one ladder, wide or narrow."""
    ends = [value for row in ladder.rows for value in (row.mean, row.low, row.high)]
    low, high = value_domain(ends)
    places = max(len(ladder.rows), *(row.place_worst for row in ladder.rows))
    signals: dict[str, Json] = {
        "heading": ladder.heading,
        "value_low": low,
        "value_high": high,
        "places": places,
        "place_ticks": [*place_ticks(places)],
        "top_n": min(ladder.top_n, places),
    }
    width = (NARROW if narrow else WIDE).name_width
    rows = [replace(row, name=fit(row.name, width, TEXT_SIZE)) for row in ladder.rows]
    key = key_items(
        ladder.top_n,
        any_open=any(row.is_open for row in rows),
        any_dashed=any(row.is_dashed for row in rows),
    )
    return ladder_mould(narrow=narrow).pour({"rows": rows, "key": key}, signals)
