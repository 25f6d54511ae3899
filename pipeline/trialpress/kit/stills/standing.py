"""The standing of one series: who stands where, the machine of interest always among them.

In:  the standing of a series and the set-ups that are looked at.
Out: a ``Still``, wide and tall, and its lines one after another from the last to the first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trialpress.charts.scale import value_domain
from trialpress.charts.typesetting import Face
from trialpress.charts.wording import FEW_RUNS_KEY, ONE_RUN_KEY, top_cut_key, unit_and_direction
from trialpress.kit.scene import (
    Align,
    Box,
    Dot,
    Mark,
    Role,
    Scene,
    Stroke,
    Type,
    level_line,
    upright_line,
)
from trialpress.kit.stills.axis import Axis
from trialpress.kit.stills.frame import (
    FIGURES,
    LABEL,
    TALL,
    WIDE,
    Around,
    Headline,
    Room,
    framed,
    marker,
)
from trialpress.kit.stills.naming import mark_key, marked, name_for, place_says, words_of
from trialpress.kit.stills.still import FigureTable, Still
from trialpress.view import View, verdicts
from trialpress.view.results import Standing
from trialpress.view.typed import Protocol
from trialpress.words import figures, say, say_count

MOST_ROWS = 12
TALLEST_ROW = 60
DASH = 10
OTHERS = Type(Face.TEXT, 30, Role.MUTED)
FOCUS = Type(Face.BOLD, 30)


@dataclass(frozen=True)
class Skipped:
    """Set-ups that are left out at one place of the standing."""

    how_many: int
    is_at_end: bool

    @property
    def words(self) -> str:
        """How many they are."""
        if self.is_at_end:
            return say_count("… and {count} more", "… and {count} more", self.how_many)
        return say_count("… {count} between", "… {count} between", self.how_many)


Line = Standing | Skipped


def shown_lines(rows: Sequence[Standing], focus: frozenset[str]) -> tuple[Line, ...]:
    """At most twelve lines of a standing: the first ones, and those looked at wherever they are."""
    kept = [row for row in rows if row.setup in focus][:MOST_ROWS]
    rest = [row for row in rows if row not in kept][: MOST_ROWS - len(kept)]
    chosen = {row.setup for row in (*kept, *rest)}
    lines: list[Line] = []
    left_out = 0
    for row in rows:
        if row.setup not in chosen:
            left_out += 1
            continue
        if left_out:
            lines.append(Skipped(left_out, is_at_end=False))
            left_out = 0
        lines.append(row)
    return (*lines, Skipped(left_out, is_at_end=True)) if left_out else tuple(lines)


def standing_still(view: View, series: Protocol, focus: Sequence[str], around: Around) -> Still:
    """The standing of one series; its one number is that of the first set-up looked at."""
    rows = view.standings_of[series.key]
    looked_at = [row for setup in focus for row in rows if row.setup == setup]
    main = looked_at[0] if looked_at else rows[0]
    lines = shown_lines(rows, frozenset(focus))
    headline = _headline(view, series, main, len(rows))
    board = Board(view, series, frozenset(focus), lines)
    steps = [
        board.scene(WIDE, around, headline, visible_from=position)
        for position in reversed(range(len(lines) + 1))
    ]
    return Still(
        name=f"standing-{series_slug(series)}",
        title=say("{title}: the standing", title=series.name.full),
        alt=_alt(view, series, main, lines, len(rows)),
        table=_table(view, series, lines),
        wide=board.scene(WIDE, around, headline),
        tall=board.scene(TALL, around, headline),
        is_large=True,
        steps=tuple(steps),
    )


def series_slug(series: Protocol) -> str:
    """The protocol; with the version of an earlier series."""
    return series.protocol if series.is_current else f"{series.protocol}-v{series.version}"


def _headline(view: View, series: Protocol, row: Standing, ranked: int) -> Headline:
    words = words_of(row)
    return Headline(
        title=series.name.full,
        name=view.names.setups[row.setup].full,
        value=words.value,
        unit=series.unit,
        interval=words.interval,
        says=place_says(row, ranked),
    )


@dataclass(frozen=True)
class Board:
    """The lines of a standing as they are drawn."""

    view: View
    series: Protocol
    focus: frozenset[str]
    lines: tuple[Line, ...]

    @property
    def standings(self) -> list[Standing]:
        """The lines with a set-up."""
        return [line for line in self.lines if isinstance(line, Standing)]

    def scene(self, room: Room, around: Around, headline: Headline, visible_from: int = 0) -> Scene:
        """The still with the lines from one on; what is above keeps its room."""
        draw = self._tall if room is TALL else self._wide
        return framed(room, around, headline, draw(room, visible_from))

    def _wide(self, room: Room, visible_from: int) -> Iterator[Mark]:
        axis = self._axis(1060, 1600)
        top = room.top + 34
        yield from _wide_heads(self, axis, room)
        height = max(min(TALLEST_ROW, 536 // len(self.lines)), 40)
        for position, line in enumerate(self.lines):
            if position >= visible_from:
                yield from self._wide_line(room, axis, line, top, height)
            top += height
        yield from axis.drawn(top + 8)
        yield from self._key(room.left + 84, top + 38, axis.left - room.left - 120)

    def _wide_line(
        self, room: Room, axis: Axis, line: Line, top: int, height: int
    ) -> Iterator[Mark]:
        base = top + height // 2 + 10
        if isinstance(line, Skipped):
            yield LABEL.line(room.left + 84, base, line.words, 600)
            return
        kind = FOCUS if line.setup in self.focus else OTHERS
        yield from self._ground(room, line, top, height)
        words = words_of(line)
        yield _figures(kind).line(room.left + 60, base, str(line.place), 70, Align.RIGHT)
        name = name_for(self.view, line.setup, kind, 620)
        yield kind.line(room.left + 84, base, name, 620)
        yield _figures(kind).line(room.left + 880, base, words.value, 160, Align.RIGHT)
        yield from self._interval(axis, line, top + height // 2)
        yield _figures(kind).line(room.right, base, marked(words.places, line), 160, Align.RIGHT)

    def _tall(self, room: Room, visible_from: int) -> Iterator[Mark]:
        axis = self._axis(room.left + 84, room.right - 150)
        yield from _tall_heads(self, room)
        top = room.top + 30
        for position, line in enumerate(self.lines):
            height = 44 if isinstance(line, Skipped) else 68
            if position >= visible_from:
                yield from self._tall_line(room, axis, line, top, height)
            top += height
        yield from axis.drawn(top + 8)
        yield from self._key(room.left + 84, top + 88, room.across - 84)

    def _tall_line(
        self, room: Room, axis: Axis, line: Line, top: int, height: int
    ) -> Iterator[Mark]:
        base = top + 30
        if isinstance(line, Skipped):
            yield LABEL.line(room.left + 84, base, line.words, 600)
            return
        kind = FOCUS if line.setup in self.focus else OTHERS
        yield from self._ground(room, line, top, height)
        words = words_of(line)
        yield _figures(kind).line(room.left + 60, base, str(line.place), 70, Align.RIGHT)
        yield kind.line(room.left + 84, base, name_for(self.view, line.setup, kind, 660), 660)
        yield _figures(kind).line(room.right, base, words.value, 160, Align.RIGHT)
        yield from self._interval(axis, line, top + height - 16)
        places = marked(words.places, line)
        yield FIGURES.line(room.right, top + height - 6, places, 140, Align.RIGHT)

    def _key(self, x: int, y: int, room: float) -> Iterator[Mark]:
        """What open dots, dashed lines and signs are, where there are any."""
        signs = (
            (FEW_RUNS_KEY, any(row.provisional for row in self.standings)),
            (ONE_RUN_KEY, any(row.on_one_run for row in self.standings)),
        )
        keys = (*(say(text) for text, is_there in signs if is_there), mark_key(self.standings))
        words = "; ".join(key for key in keys if key)
        if words:
            yield LABEL.line(x, y, words, room)

    def _ground(self, room: Room, line: Standing, top: int, height: int) -> Iterator[Mark]:
        if line.place <= self.view.settings.top_n:
            yield Box(room.left - 16, top, room.across + 32, height, Role.WASH)
        if line.setup in self.focus:
            is_in = line.place <= self.view.settings.top_n
            yield from list(marker(room, top, height))[1 if is_in else 0 :]
        if line is self._last_in_cut:
            yield Box(room.left - 16, top + height - 3, room.across + 32, 3, Role.TOP_CUT)

    @property
    def _last_in_cut(self) -> Standing | None:
        inside = [row for row in self.standings if row.place <= self.view.settings.top_n]
        return inside[-1] if inside else None

    def _axis(self, left: int, right: int) -> Axis:
        values = [end for row in self.standings for end in (row.mean, row.low, row.high)]
        return Axis(*value_domain(values), left, right)

    def _interval(self, axis: Axis, row: Standing, y: int) -> Iterator[Mark]:
        is_focus = row.setup in self.focus
        role = Role.ACCENT if is_focus else Role.MUTED
        thick = 6 if is_focus else 4
        if row.low is not None and row.high is not None:
            left, right = axis.x(row.low), axis.x(row.high)
            stroke = Stroke(thick, role, DASH if row.on_one_run else 0)
            yield from level_line(left, right, y, stroke)
            for end in (left, right):
                yield upright_line(end, y - 8, y + 8, Stroke(3, role))
        yield Dot(axis.x(row.mean), y, 11 if is_focus else 9, role, is_open=row.provisional)


def _figures(kind: Type) -> Type:
    """Figures beside a name: as dark as it is."""
    return Type(Face.NUMERALS, kind.size, kind.role)


def _wide_heads(board: Board, axis: Axis, room: Room) -> Iterator[Mark]:
    base = room.top + 20
    cut = Type(Face.TEXT, 28, Role.TOP_CUT)
    yield cut.line(room.left + 84, base, top_cut_key(board.view.settings.top_n), 500)
    yield LABEL.line(room.left + 880, base, board.series.unit, 200, Align.RIGHT)
    yield LABEL.line(axis.left, base, interval_words(board.view), 440)
    yield LABEL.line(room.right, base, say("could be place"), 230, Align.RIGHT)


def _tall_heads(board: Board, room: Room) -> Iterator[Mark]:
    cut = Type(Face.TEXT, 28, Role.TOP_CUT)
    base = room.top + 16
    yield cut.line(room.left + 84, base, top_cut_key(board.view.settings.top_n), 400)
    heads = say("{unit}, and places it may have", unit=board.series.unit)
    yield LABEL.line(room.right, base, heads, 480, Align.RIGHT)


def interval_words(view: View) -> str:
    """What a line with a dot is."""
    return say("mean, {percent} interval", percent=figures.percent(view.settings.confidence))


def _alt(view: View, series: Protocol, main: Standing, lines: Sequence[Line], ranked: int) -> str:
    words = words_of(main)
    shown = sum(isinstance(line, Standing) for line in lines)
    placed = say(
        "Standing of {title}, {direction}. {name}: {value}, interval {interval}, {places}.",
        title=series.name.full,
        direction=unit_and_direction(series.unit, series.better),
        name=view.names.setups[main.setup].full,
        value=figures.with_unit(words.value, series.unit),
        interval=words.interval or say("unknown"),
        places=place_says(main, ranked),
    )
    first = view.standings_of[series.key][0]
    leader = say(
        "First by mean is {name} with {value}.",
        name=view.names.setups[first.setup].full,
        value=figures.with_unit(figures.number(first.mean, first.decimals), series.unit),
    )
    return f"{placed} {leader} " + say("{shown} of {ranked} are shown.", shown=shown, ranked=ranked)


def _table(view: View, series: Protocol, lines: Sequence[Line]) -> FigureTable:
    heads = (say("place"), say("set-up"), series.unit, say("interval"), say("may be"), say("runs"))
    rows = []
    for line in lines:
        if isinstance(line, Skipped):
            rows.append(("", line.words, "", "", "", ""))
            continue
        words = words_of(line)
        name = view.names.setups[line.setup].full
        runs = verdicts.with_marks(str(line.n), line)
        cells = (str(line.place), name, words.value, words.interval, words.places, runs)
        rows.append(cells)
    return FigureTable(heads, tuple(rows))
