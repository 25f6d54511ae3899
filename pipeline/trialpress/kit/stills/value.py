"""Results of one series against prices, one set-up looked at.

In:  the rows of results against prices.
Out: a ``Still``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trialpress.analyses.records import ValueRow
from trialpress.charts.scale import value_domain
from trialpress.charts.typesetting import Face
from trialpress.kit.scene import Align, Dot, Mark, Role, Stroke, Type, level_line, upright_line
from trialpress.kit.stills.axis import Axis
from trialpress.kit.stills.frame import FIGURES, LABEL, WIDE, Around, Headline, Room, framed
from trialpress.kit.stills.naming import name_for
from trialpress.kit.stills.standing import series_slug
from trialpress.kit.stills.still import FigureTable, Still
from trialpress.view import View, verdicts
from trialpress.view.typed import Protocol
from trialpress.words import figures, say

NAMED = Type(Face.BOLD, 30)
BEATEN_BY = Type(Face.TEXT, 30)
DOT = 10


@dataclass(frozen=True)
class PricedSetup:
    """A set-up with its price, among the others of its series that have one."""

    series: Protocol
    row: ValueRow
    field: Sequence[ValueRow]
    sentence: str

    @property
    def price(self) -> str:
        """Its price."""
        return figures.money(self.row.price or 0.0, self.row.currency or "")


def priced(view: View, series: Protocol, setup: str, sentence: str) -> PricedSetup | None:
    """The set-up among prices; None where its price or its place among them is not known."""
    rows = view.analysed.values.get(series.key, ())
    own = next((row for row in rows if row.setup == setup), None)
    if own is None or own.front is None or own.price is None:
        return None
    same = [row for row in rows if row.front is not None and row.price is not None]
    return PricedSetup(series, own, same, sentence)


def value_still(view: View, found: PricedSetup, around: Around) -> Still:
    """Results against prices."""
    row, series = found.row, found.series
    name = view.names.setups[row.setup].full
    headline = Headline(
        title=say("{title}, for {price}", title=series.name.full, price=found.price),
        name=name,
        value=figures.number(row.mean, row.decimals),
        unit=series.unit,
        interval=_interval(row),
        says=_says(view, row),
    )
    return Still(
        name=f"value-{series_slug(series)}",
        title=say("{title}: results and prices", title=series.name.full),
        alt=found.sentence,
        table=FigureTable(
            (say("set-up"), say("price"), series.unit, say("at its price")),
            tuple(_cells(view, one) for one in found.field),
        ),
        wide=framed(WIDE, around, headline, PricePlot(view, found).drawn(WIDE)),
    )


def _says(view: View, row: ValueRow) -> str:
    """Who beats it at its price; or that nobody does, as far as that can be told."""
    if row.front == "beaten" and row.beaten_by is not None:
        name = view.names.setups[row.beaten_by].full
        return say("{name} costs no more and is better", name=name)
    if row.front == "certain":
        return say("better than every set-up that costs no more")
    return say("cannot tell whether a set-up that costs no more is better")


def _interval(row: ValueRow) -> str:
    if row.low is None or row.high is None:
        return ""
    return figures.interval(row.low, row.high, row.decimals)


def _cells(view: View, row: ValueRow) -> tuple[str, ...]:
    return (
        view.names.setups[row.setup].full,
        figures.money(row.price or 0.0, row.currency or ""),
        figures.number(row.mean, row.decimals),
        verdicts.front(row.front or "possible").words,
    )


@dataclass(frozen=True)
class PricePlot:
    """Every priced set-up as a dot: to the right dearer, upwards the better mean."""

    view: View
    found: PricedSetup

    def drawn(self, room: Room) -> Iterator[Mark]:
        """Quiet dots, the one looked at, and the one that beats it at its price."""
        field, row = self.found.field, self.found.row
        across = Axis(*value_domain([one.price for one in field]), room.left + 130, room.right - 20)
        low, high = value_domain([one.mean for one in field])
        upward = Axis(low, high, room.bottom - 70, room.top + 80)
        if not self.found.series.name.higher_is_better:
            upward = Axis(low, high, room.top + 80, room.bottom - 70)
        yield LABEL.line(room.left, room.top + 24, self._heads, room.across)
        for tick in upward.ticks(4):
            yield from level_line(across.left, across.right, upward.x(tick), Stroke(1, Role.RULE))
            words = figures.typed_number(tick)
            yield FIGURES.line(across.left - 24, upward.x(tick) + 10, words, 120, Align.RIGHT)
        for one in field:
            if one.setup != row.setup:
                x, y = across.x(one.price or 0.0), upward.x(one.mean)
                yield Dot(x, y, DOT, Role.MUTED, is_open=one.front == "beaten")
        yield from self._named(across, upward)
        yield from across.drawn(room.bottom - 60, most=8)

    @property
    def _heads(self) -> str:
        unit, currency = self.found.series.unit, self.found.row.currency or ""
        return say(
            "{unit}, up is better, against the price in {currency}; ring: beaten at its price",
            unit=unit,
            currency=currency,
        )

    def _named(self, across: Axis, upward: Axis) -> Iterator[Mark]:
        row = self.found.row
        x, y = across.x(row.price or 0.0), upward.x(row.mean)
        if row.low is not None and row.high is not None:
            ends = sorted((upward.x(row.low), upward.x(row.high)))
            yield upright_line(x, ends[0], ends[1], Stroke(6, Role.ACCENT))
        yield Dot(x, y, DOT + 4, Role.ACCENT)
        yield self._label(across, NAMED, row, x, y)
        by = next((one for one in self.found.field if one.setup == row.beaten_by), None)
        if by is not None:
            there = across.x(by.price or 0.0), upward.x(by.mean)
            yield Dot(*there, DOT + 2, Role.INK)
            yield self._label(across, BEATEN_BY, by, *there)

    def _label(self, across: Axis, kind: Type, row: ValueRow, x: int, y: int) -> Mark:
        is_right = x > (across.left + across.right) // 2
        name = name_for(self.view, row.setup, kind, 560)
        align = Align.RIGHT if is_right else Align.LEFT
        return kind.line(x - 28 if is_right else x + 28, y - 18, name, 560, align)
