"""One set-up against another: the difference in every series that both were run in.

In:  the comparisons that results decided.
Out: a ``Still``. Differences are drawn in steps that matter, so that one scale does for all units.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from trialpress.charts.typesetting import Face, width_of
from trialpress.kit.scene import (
    SMALLEST_PX,
    Align,
    Box,
    Dot,
    Mark,
    Role,
    Stroke,
    Type,
    level_line,
    upright_line,
)
from trialpress.kit.stills.axis import Axis
from trialpress.kit.stills.frame import LABEL, WIDE, Around, Headline, Room, framed
from trialpress.kit.stills.still import FigureTable, Still
from trialpress.view import View, verdicts
from trialpress.view.comparisons import Comparison
from trialpress.view.typed import Protocol
from trialpress.words import figures, say, say_count

MOST_ROWS = 8  # each has room for a verdict of two lines
VERDICT_ROOM = 346
FURTHEST = 8.0  # steps that matter; what lies further is drawn at the edge
NAME = Type(Face.TEXT, 30)
VERDICT = Type(Face.BOLD, 30)
FIGURE = Type(Face.TEXT, 28, Role.MUTED)


@dataclass(frozen=True)
class Pairing:
    """Two set-ups in one series; the difference is counted so that more is better."""

    series: Protocol
    found: Comparison
    decimals: int

    @property
    def verdict(self) -> verdicts.Verdict:
        """How the first stands towards the other."""
        is_small = self.found.by_less_than_matters
        return verdicts.relation(
            self.found.relation,
            is_by_less_than_matters=is_small,
            could_matter=self.found.could_matter,
        )

    @property
    def difference(self) -> str:
        """The difference as it was measured, with its unit."""
        text = figures.signed(self.found.difference, self.decimals)
        return figures.with_unit(text, figures.difference_unit(self.series.unit))

    @property
    def interval(self) -> str:
        """Its interval; blank where there is none."""
        if self.found.low is None or self.found.high is None:
            return ""
        return figures.interval(self.found.low, self.found.high, self.decimals)

    def steps(self, difference: float) -> float:
        """A difference in steps that matter, more being better."""
        way = 1.0 if self.series.name.higher_is_better else -1.0
        return way * difference / (self.series.matters or 1.0)


def pairings(view: View, series: Sequence[Protocol], setup: str, other: str) -> list[Pairing]:
    """The series that both set-ups stand in."""
    found = []
    for one in series:
        decimals = {row.setup: row.decimals for row in view.standings_of.get(one.key, ())}
        if setup in decimals and other in decimals:
            pair = view.comparisons(one.key).between(setup, other)
            if pair.relation:
                found.append(Pairing(one, pair, decimals[setup]))
    return found


def pair_still(
    view: View, pairs: Sequence[Pairing], setups: tuple[str, str], around: Around
) -> Still:
    """One set-up against another in up to twelve series."""
    shown = pairs[:MOST_ROWS]
    counts = Counter(pair.found.relation for pair in pairs)
    setup, other = setups
    own, against = (view.names.setups[name].full for name in setups)
    headline = Headline(
        title=say("against {other}", other=against),
        name=own,
        value=str(counts["better"]),
        unit=say("of {all} better", all=len(pairs)),
        interval="",
        says=tally(counts),
    )
    return Still(
        name=f"against-{setup}-{other}",
        title=say("{own} against {other}", own=own, other=against),
        alt=say(
            "{own} against {other} in {series}: {tally}.",
            own=own,
            other=against,
            series=figures.count(len(pairs), "series", "series"),
            tally=tally(counts),
        ),
        table=FigureTable(
            (say("protocol"), say("difference"), say("interval"), say("verdict")),
            tuple(_cells(pair) for pair in shown),
        ),
        wide=framed(WIDE, around, headline, _rows(WIDE, shown)),
    )


def tally(counts: Counter[str]) -> str:
    """How often better, worse, level, and how often that cannot be told."""
    tallies = (
        say_count("better in {count}", "better in {count}", counts["better"]),
        say_count("worse in {count}", "worse in {count}", counts["worse"]),
        say_count("level in {count}", "level in {count}", counts["level"]),
        say_count("cannot tell in {count}", "cannot tell in {count}", counts["cannot tell"]),
    )
    return ", ".join(tallies)


def _cells(pair: Pairing) -> tuple[str, ...]:
    return (pair.series.name.full, pair.difference, pair.interval, pair.verdict.words)


def _rows(room: Room, pairs: Sequence[Pairing]) -> Iterator[Mark]:
    axis = Axis(-FURTHEST, FURTHEST, 1236, room.right - 20)
    top = room.top + 40
    height = min((room.bottom - 60 - top) // max(len(pairs), 1), 72)
    bottom = top + height * len(pairs)
    yield Box(axis.x(-1.0), top, axis.x(1.0) - axis.x(-1.0), bottom - top, Role.PANEL)
    yield upright_line(axis.x(0.0), top, bottom, Stroke(2, Role.MUTED))
    base = room.top + 24
    yield LABEL.line(axis.left, base, say("worse"), 200)
    yield LABEL.line(axis.x(0.0), base, say("steps that matter"), 400, Align.MIDDLE)
    yield LABEL.line(axis.right, base, say("better"), 200, Align.RIGHT)
    for number, pair in enumerate(pairs):
        yield from _row(room, axis, pair, top + height * number + height // 2)
    yield from axis.drawn(bottom + 6, most=8)


def _verdict(kind: Type, x: int, y: int, words: str) -> Iterator[Mark]:
    """In one line where it fits, else in two, one above and one below."""
    if width_of(words, kind.face, kind.size) <= VERDICT_ROOM:
        yield kind.line(x, y, words, VERDICT_ROOM)
        return
    small = replace(kind, size=SMALLEST_PX)
    yield from small.lines(x, y - 18, words, VERDICT_ROOM, 2)


def _row(room: Room, axis: Axis, pair: Pairing, y: int) -> Iterator[Mark]:
    yield NAME.line(room.left, y + 10, pair.series.name.full, 350)
    is_told = pair.found.relation in {"better", "worse"}
    yield from _verdict(VERDICT if is_told else NAME, room.left + 370, y + 10, pair.verdict.words)
    figure = f"{pair.difference} ({pair.interval})" if pair.interval else pair.difference
    yield FIGURE.line(axis.left - 30, y + 10, figure, 400, Align.RIGHT)
    role = Role.ACCENT if is_told else Role.MUTED
    if pair.found.low is not None and pair.found.high is not None:
        ends = sorted((pair.steps(pair.found.low), pair.steps(pair.found.high)))
        left, right = axis.x(ends[0]), axis.x(ends[1])
        yield from level_line(left, right, y, Stroke(5, role))
        for x, end in ((left, ends[0]), (right, ends[1])):
            if abs(end) < FURTHEST:
                yield upright_line(x, y - 9, y + 9, Stroke(3, role))
    steps = pair.steps(pair.found.difference)
    yield Dot(axis.x(steps), y, 11, role, is_open=abs(steps) > FURTHEST)
