"""What set-ups and places are called on a still, where there is little room.

In:  the view and the room in pixels.
Out: the longest form of a name that fits; a standing in figures.

Short: names and figures in the forms that every kind of still shares.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trialpress.charts.typesetting import fitted, width_of
from trialpress.kit.scene import Type
from trialpress.site import wording
from trialpress.view import View, verdicts
from trialpress.view.results import Standing
from trialpress.words import figures, say

MARK = "°"


def name_for(view: View, setup: str, kind: Type, room: float) -> str:
    """``Maker Machine (label)``, else without the maker, else cut, by the least size of type."""
    name = view.names.setups[setup]
    forms = (name.full, name.of_maker)
    fits = (form for form in forms if width_of(form, kind.face, kind.least) <= room)
    return next(fits, fitted(name.of_maker, kind.face, kind.least, room))


@dataclass(frozen=True)
class StandingWords:
    """The figures of one standing as they are published."""

    value: str
    interval: str
    places: str
    runs: str


def words_of(row: Standing) -> StandingWords:
    """The figures of one standing; the interval is blank where there is none."""
    interval = ""
    if row.low is not None and row.high is not None:
        interval = figures.interval(row.low, row.high, row.decimals)
    return StandingWords(
        value=figures.number(row.mean, row.decimals),
        interval=interval,
        places=figures.places(row.place_best, row.place_worst),
        runs=figures.count(row.n, "run", "runs"),
    )


def place_says(row: Standing, ranked: int) -> str:
    """``3rd of 39 by mean; could be anywhere from 1st to 8th (in one sitting)``."""
    place = say(
        "{place} of {ranked} by mean; could be {places}",
        place=figures.ordinal(row.place),
        ranked=ranked,
        places=wording.could_be(row.place_best, row.place_worst),
    )
    return verdicts.with_marks(place, row)


def marked(text: str, row: Standing) -> str:
    """A name or a figure in a drawing with ``MARK`` behind it where its runs are of one day."""
    return f"{text}{MARK}" if row.one_sitting and not row.on_one_run else text


def mark_key(rows: Sequence[Standing]) -> str:
    """What ``MARK`` says, where there is one; else blank."""
    if not any(marked("", row) for row in rows):
        return ""
    # For translators: the key of a sign: {sign} stands beside a set-up that is in one sitting.
    return say("{sign}: in one sitting", sign=MARK)
