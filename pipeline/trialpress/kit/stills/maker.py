"""All set-ups of one maker in the field: where they stand in every series.

In:  the overviews of makers and the standings.
Out: a ``Still``: a line a series, a tick a place, the maker's own places marked.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trialpress.charts.typesetting import Face
from trialpress.kit.scene import Align, Box, Dot, Mark, Role, Stroke, Type, bracket, upright_line
from trialpress.kit.stills.frame import LABEL, WIDE, Around, Headline, Room, framed
from trialpress.kit.stills.naming import mark_key, marked
from trialpress.kit.stills.still import FigureTable, Still
from trialpress.view import View, verdicts
from trialpress.view.results import MakerOverview, Standing
from trialpress.view.typed import Protocol
from trialpress.words import figures, say

MOST_ROWS = 9
NAME = Type(Face.TEXT, 30)
BEST = Type(Face.TEXT, 28, Role.MUTED)


@dataclass(frozen=True)
class MakerStanding:
    """One series with the maker's row in it and the whole standing."""

    series: Protocol
    overview: MakerOverview
    standing: Sequence[Standing]

    @property
    def own(self) -> list[Standing]:
        """The maker's set-ups, best first."""
        return [row for row in self.standing if row.maker == self.overview.maker]


def fields_of(view: View, series: Sequence[Protocol], maker: str) -> list[MakerStanding]:
    """The series that the maker stands in."""
    overviews = {
        (row.protocol, row.version): row for row in view.maker_overview if row.maker == maker
    }
    return [
        MakerStanding(one, overviews[one.key], view.standings_of[one.key])
        for one in series
        if one.key in overviews
    ]


def maker_still(view: View, fields: Sequence[MakerStanding], maker: str, around: Around) -> Still:
    """One maker in up to nine series."""
    cut = verdicts.cut_words(view.settings.top_n)
    inside = sum(field.overview.in_top_cut for field in fields)
    tried = sum(field.overview.setups for field in fields)
    name = view.names.makers[maker]
    headline = Headline(
        title=say("in {cut}, by mean", cut=cut),
        name=name,
        value=str(inside),
        unit=say("of {tried}", tried=tried),
        interval="",
        says=say(
            "standings of its set-ups in {series}",
            series=figures.count(len(fields), "series", "series"),
        ),
    )
    return Still(
        name=f"maker-{maker}",
        title=say("{maker} in the field", maker=name),
        alt=say(
            "{maker}: {inside} of {tried} standings of its set-ups are in {cut} by mean, in "
            "{series}.",
            maker=name,
            inside=inside,
            tried=tried,
            cut=cut,
            series=figures.count(len(fields), "series", "series"),
        ),
        table=FigureTable(
            (
                *(say("protocol"), say("best"), say("mean"), say("place"), say("may be")),
                *(say("of"), say("set-ups")),
            ),
            tuple(_cells(view, field) for field in fields),
        ),
        wide=framed(WIDE, around, headline, _rows(view, WIDE, fields[:MOST_ROWS])),
    )


def _cells(view: View, field: MakerStanding) -> tuple[str, ...]:
    best = field.own[0]
    return (
        field.series.name.full,
        view.names.setups[best.setup].of_maker,
        _mean(best),
        str(best.place),
        verdicts.with_marks(figures.places(best.place_best, best.place_worst), best),
        str(len(field.standing)),
        str(field.overview.setups),
    )


def _mean(row: Standing) -> str:
    return figures.with_unit(figures.number(row.mean, row.decimals), row.unit)


def _rows(view: View, room: Room, fields: Sequence[MakerStanding]) -> Iterator[Mark]:
    base = room.top + 22
    words = say("tick: a place; dot: a set-up of the maker; bracket: places its best may have")
    keys = (words, mark_key([field.own[0] for field in fields]))
    line = "; ".join(key for key in keys if key)
    yield LABEL.line(room.right, base, line, room.across, Align.RIGHT)
    top = room.top + 44
    height = min((room.bottom - top) // max(len(fields), 1), 84)
    for number, field in enumerate(fields):
        yield from _row(view, room, field, top + height * number, height)


def _row(view: View, room: Room, field: MakerStanding, top: int, height: int) -> Iterator[Mark]:
    y = top + height // 2 + 8
    left, right = room.left + 900, room.right
    step = (right - left) / len(field.standing)
    best = field.own[0]
    yield NAME.line(room.left, y + 8, field.series.name.full, 350)
    name = marked(view.names.setups[best.setup].of_maker, best)
    yield BEST.line(room.left + 360, y + 8, name, 370)
    yield BEST.line(left - 24, y + 8, _mean(best), 150, Align.RIGHT)
    cut = round(step * min(view.settings.top_n, len(field.standing)))
    yield Box(left, y - 14, cut, 28, Role.WASH)
    for place in range(len(field.standing)):
        yield upright_line(left + round(step * (place + 0.5)), y - 6, y + 6, Stroke(2, Role.MUTED))
    for row in field.own:
        yield Dot(left + round(step * (row.position - 0.5)), y, 10, Role.ACCENT, row.provisional)
    first = left + round(step * (best.place_best - 1))
    yield from bracket(first, left + round(step * best.place_worst), y - 30, Stroke(4, Role.ACCENT))
