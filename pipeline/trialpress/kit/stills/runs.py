"""Every run of one set-up in one series, in the order they were made, with their mean.

In:  a standing and the runs behind it.
Out: a ``Still``, wide and tall.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from trialpress.charts.scale import value_domain
from trialpress.kit.scene import Align, Box, Dot, Mark, Role, Stroke, level_line, upright_line
from trialpress.kit.stills.axis import Axis
from trialpress.kit.stills.frame import (
    LABEL,
    TALL,
    WIDE,
    Around,
    Headline,
    Room,
    framed,
)
from trialpress.kit.stills.naming import words_of
from trialpress.kit.stills.standing import interval_words, series_slug
from trialpress.kit.stills.still import FigureTable, Still
from trialpress.view import View, verdicts
from trialpress.view.results import RunResult, Standing
from trialpress.view.typed import Protocol, Run
from trialpress.words import figures, say

WIDEST_STEP = 110.0


@dataclass(frozen=True)
class MadeRun:
    """A valid run and what it gave."""

    run: Run
    result: RunResult


def runs_still(view: View, series: Protocol, row: Standing, around: Around) -> Still:
    """Every valid run of a set-up in a series."""
    made = runs_of(view, row)
    words = words_of(row)
    days = len({one.run.day for one in made})
    headline = Headline(
        title=series.name.full,
        name=view.names.setups[row.setup].full,
        value=words.value,
        unit=series.unit,
        interval=words.interval,
        says=say(
            "{runs} on {days}",
            runs=words.runs,
            days=figures.count(days, "bench day", "bench days"),
        ),
    )
    lane = RunsByDay(view, row, made)
    return Still(
        name=f"runs-{series_slug(series)}",
        title=say("{title}: every run", title=series.name.full),
        alt=_alt(view, series, row, made),
        table=FigureTable(
            (say("day"), say("run"), series.unit, say("remarks")),
            tuple(_cells(one, row.decimals) for one in made),
        ),
        wide=framed(WIDE, around, headline, lane.drawn(WIDE)),
        tall=framed(TALL, around, headline, lane.drawn(TALL)),
    )


def runs_of(view: View, row: Standing) -> tuple[MadeRun, ...]:
    """The runs behind a standing, oldest first."""
    runs = view.runs_of.get((row.key, row.setup), ())
    return tuple(MadeRun(run, view.run_result[run.run]) for run in runs if _is_made(view, run))


def _is_made(view: View, run: Run) -> bool:
    return run.run in view.run_result


def _cells(one: MadeRun, decimals: int) -> tuple[str, ...]:
    remarks = "; ".join(verdicts.flag_words(one.result.flags))
    value = figures.number(one.result.value, decimals)
    return (figures.day(one.run.day_date), one.run.run, value, remarks)


def _alt(view: View, series: Protocol, row: Standing, made: Sequence[MadeRun]) -> str:
    values = [one.result.value for one in made]
    words = words_of(row)
    return say(
        "Every run of {name} on {title}: {runs} between {low} and {high}, mean {mean}, interval "
        "{interval}.",
        name=view.names.setups[row.setup].full,
        title=series.name.full,
        runs=words.runs,
        low=figures.number(min(values), row.decimals),
        high=figures.with_unit(figures.number(max(values), row.decimals), series.unit),
        mean=words.value,
        interval=words.interval or say("unknown"),
    )


@dataclass(frozen=True)
class RunsByDay:
    """Runs beneath each other in their order, day after day, over one level scale."""

    view: View
    row: Standing
    made: tuple[MadeRun, ...]

    def drawn(self, room: Room) -> Iterator[Mark]:
        """The days with their runs, the mean and its interval through all of them."""
        days = [(day, list(runs)) for day, runs in groupby(self.made, lambda one: one.run.day_date)]
        axis = self._axis(room)
        top, bottom = room.top + 40, room.bottom - 70
        step = min((bottom - top) / max(len(days), 1), WIDEST_STEP)
        bottom = round(top + step * max(len(days), 1))
        yield from self._mean(axis, top, bottom)
        yield from self._heads(room, axis)
        names_every = max(-(-34 // max(round(step), 1)), 1)
        for number, (day, runs) in enumerate(days):
            y = round(top + step * (number + 0.5))
            if number % names_every == 0:
                yield LABEL.line(room.left, y + 10, figures.day(day), axis.left - room.left - 40)
            yield from level_line(axis.left, axis.right, y, Stroke(1, Role.RULE))
            for one in runs:
                yield Dot(axis.x(one.result.value), y, 12, Role.INK, is_open=bool(one.result.flags))
        yield from axis.drawn(bottom + 6, most=5 if room is TALL else 8)

    def _axis(self, room: Room) -> Axis:
        values = [one.result.value for one in self.made]
        ends = (*values, self.row.low, self.row.high)
        return Axis(*value_domain(ends), room.left + 340, room.right - 20)

    def _mean(self, axis: Axis, top: int, bottom: int) -> Iterator[Mark]:
        if self.row.low is not None and self.row.high is not None:
            left, right = axis.x(self.row.low), axis.x(self.row.high)
            yield Box(left, top, max(right - left, 2), bottom - top, Role.PANEL)
            for x in (left, right):
                yield upright_line(x, top, bottom, Stroke(2, Role.ACCENT))
        yield upright_line(axis.x(self.row.mean), top, bottom, Stroke(6, Role.ACCENT))

    def _heads(self, room: Room, axis: Axis) -> Iterator[Mark]:
        base = room.top + 22
        yield LABEL.line(axis.left, base, interval_words(self.view), axis.right - axis.left)
        if any(one.result.flags for one in self.made) and room is WIDE:
            words = say("dot: a run; ring: a run with a remark")
        else:
            words = say("dot: a run")
        yield LABEL.line(room.right, base, words, 560, Align.RIGHT)
