"""A claim beside what was measured: stated so much, measured from here to there.

In:  a claim that was held against a measurement, and the standing it is held against.
Out: a ``Still``, wide and tall.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trialpress.analyses.records import ClaimCheckRow
from trialpress.charts.scale import value_domain
from trialpress.charts.typesetting import Face
from trialpress.kit.scene import (
    Align,
    Dot,
    Mark,
    Role,
    Stroke,
    Type,
    bracket,
    level_line,
    upright_line,
)
from trialpress.kit.stills.axis import Axis
from trialpress.kit.stills.frame import LABEL, TALL, WIDE, Around, Headline, Room, framed
from trialpress.kit.stills.naming import words_of
from trialpress.kit.stills.runs import MadeRun
from trialpress.kit.stills.still import FigureTable, Still
from trialpress.view import View, verdicts
from trialpress.view.results import Standing
from trialpress.words import figures, say

STATED = Type(Face.BOLD, 36)
MEASURED = Type(Face.BOLD, 36, Role.ACCENT)
VERDICT = Type(Face.TEXT, 44)


@dataclass(frozen=True)
class MeasuredClaim:
    """A claim, the standing it is held against, and the runs behind that."""

    row: ClaimCheckRow
    standing: Standing
    runs: Sequence[MadeRun]
    sentence: str

    @property
    def stated(self) -> str:
        """The figure as it was stated."""
        return figures.with_unit(figures.typed_number(self.row.stated_value), self.row.stated_unit)

    @property
    def bound(self) -> float:
        """What it is held against, in the unit of the series, its tolerance granted."""
        if self.row.bound is None:
            raise ValueError(self.row)
        return self.row.bound

    @property
    def measured(self) -> str:
        """The interval of what was measured, or its mean where there is none."""
        words = words_of(self.standing)
        return words.interval or words.value


def claim_still(view: View, claim: MeasuredClaim, around: Around) -> Still:
    """One claim and its measurement."""
    row, words = claim.row, words_of(claim.standing)
    quantity = row.quantity.replace("-", " ")
    verdict = verdicts.claim(row.verdict or "cannot tell").words
    headline = Headline(
        title=say("{quantity}: stated {stated}", quantity=quantity, stated=claim.stated),
        name=view.names.setups[claim.standing.setup].full,
        value=words.value,
        unit=claim.standing.unit,
        interval=words.interval,
        says=say(
            "measured {measured}, {runs}: {verdict}",
            measured=claim.measured,
            runs=words.runs,
            verdict=verdict,
        ),
    )
    lane = ClaimRuler(claim)
    cells = (claim.stated, words.value, words.interval, claim.standing.unit, words.runs, verdict)
    heads = (say("stated"), say("measured"), say("interval"), say("unit"), say("runs"))
    return Still(
        name=f"claim-{row.claim}",
        title=say("{quantity}: stated and measured", quantity=quantity),
        alt=claim.sentence,
        table=FigureTable((*heads, say("verdict")), (cells,)),
        wide=framed(WIDE, around, headline, lane.drawn(WIDE)),
        tall=framed(TALL, around, headline, lane.drawn(TALL)),
    )


@dataclass(frozen=True)
class ClaimRuler:
    """A ruler with what was stated above it, and what was measured on it."""

    claim: MeasuredClaim

    def drawn(self, room: Room) -> Iterator[Mark]:
        """The stated figure as a mark from above, the interval as a bracket, runs as dots."""
        standing = self.claim.standing
        values = [one.result.value for one in self.claim.runs]
        shown = (*values, standing.low, standing.high, standing.mean, self.claim.bound)
        axis = Axis(*value_domain(shown), room.left + 40, room.right - 40)
        middle = (room.top + room.bottom) // 2
        yield from self._stated(axis, middle, room)
        yield from self._measured(axis, middle, room)
        for value in values:
            yield Dot(axis.x(value), middle + 30, 12, Role.INK)
        yield from axis.drawn(middle + 70, most=5 if room is TALL else 9)
        base = middle + 160
        yield LABEL.line(room.left + 40, base, say("dot: a run"), 400)

    def _stated(self, axis: Axis, middle: int, room: Room) -> Iterator[Mark]:
        x = axis.x(self.claim.bound)
        yield upright_line(x, middle - 120, middle + 70, Stroke(6, Role.INK))
        words = say("stated {stated}", stated=self.claim.stated)
        yield _beside(STATED, x, middle - 132, words, room)
        if self.claim.row.tolerance_pct:
            tolerance = figures.with_unit(figures.typed_number(self.claim.row.tolerance_pct), "%")
            words = say("the line grants it {tolerance}", tolerance=tolerance)
            yield _beside(LABEL, x, middle - 180, words, room)

    def _measured(self, axis: Axis, middle: int, room: Room) -> Iterator[Mark]:
        standing = self.claim.standing
        x = axis.x(standing.mean)
        if standing.low is not None and standing.high is not None:
            left, right = axis.x(standing.low), axis.x(standing.high)
            yield from bracket(left, right, middle - 20, Stroke(6, Role.ACCENT))
            yield from level_line(left, right, middle + 30, Stroke(6, Role.ACCENT))
        yield upright_line(x, middle, middle + 60, Stroke(6, Role.ACCENT))
        words = say("measured {measured}", measured=self.claim.measured)
        yield _beside(MEASURED, x, middle - 40, words, room)


def _beside(kind: Type, x: int, y: int, words: str, room: Room) -> Mark:
    """Words over a point, moved inwards where they would leave the room."""
    half = round(kind.line(0, 0, words, room.across).width / 2)
    middle = min(max(x, room.left + half), room.right - half)
    return kind.line(middle, y, words, room.across, Align.MIDDLE)
