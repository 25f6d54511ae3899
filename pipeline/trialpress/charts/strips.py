"""Strips: what one line can show, drawn by ourselves, so that any width and colour fits them.

In:  ``PanelRow`` records, in the order of their panels and rows, and the scale of each panel.
Out: ``Strips``, of coordinates that a page puts into its SVG.

Along a strip everything is in thousandths of its width: a browser stretches it, but neither letters
nor circles. Down a strip everything is in pixels.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from trialpress.charts.chart import (
    DayWords,
    Figure,
    LineMarks,
    RulerMarks,
    Strip,
    StripDot,
    StripLine,
    Strips,
)
from trialpress.charts.fitting import fit
from trialpress.charts.panels import FieldMarks, PanelMark, PanelRow, RunRow
from trialpress.charts.picture import ChartWords
from trialpress.charts.scale import nice_ticks, value_domain
from trialpress.charts.theme import TEXT_SIZE
from trialpress.store import grouped
from trialpress.words import figures

LABEL_WIDTH = 290
"""Pixels; as wide as the narrowest screen leaves."""
LABEL_PX, DAY_PX, CROWDED_PX, MEAN_PX, ROW_GAP_PX, RULER_PX = 18, 16, 6, 18, 6, 34
FEW_DAYS = 12
"""So many days have a line of text each; more of them stand closer, and some have a date."""
MEAN_REACH, FIELD_REACH, TICK, LONG_TICK, MEAN_TICK = 8, 9, 4, 8, 6
WIDTH = 1000
DATE_ROOM = 0.28
"""The share of the narrowest screen's width that a date needs."""
NAME_ROOM = 0.06
"""The same of a name of one letter."""


@dataclass(frozen=True)
class Scale:
    """The ends of a ruler, in the unit of its values."""

    low: float
    high: float

    def along(self, value: float) -> float:
        """Where a value is, as a share of the width."""
        return (value - self.low) / (self.high - self.low)


def scale_of(values: Sequence[float | None]) -> Scale:
    """A ruler that holds every value."""
    return Scale(*value_domain(values))


def draw_strips(
    words: ChartWords, rows: Sequence[PanelRow], scales: Mapping[int, Scale] | None = None
) -> Strips:
    """One chart of strips, a strip a panel.

    Parameters
    ----------
    words : ChartWords
        What it is called, shows, and how it is read.
    rows : sequence of PanelRow
        Panels in the order of their positions; rows of a panel in the order they are given.
    scales : mapping, optional
        By the position of a panel; without one, a panel's ruler holds its own marks.
    """
    panels = grouped(rows, lambda row: row.heading_position)
    strips = (
        _strip(panels[at], scales[at] if scales else scale_of(list(_values(panels[at]))))
        for at in sorted(panels)
    )
    described = words.name, words.title, words.description, words.caption
    return Strips(*described, tuple(strips), words.finding)


def ruler_marks(scale: Scale, field: Sequence[float]) -> RulerMarks:
    """A ruler with the field above it, for lines that are put on it one by one."""
    ticks, step = nice_ticks(scale.low, scale.high)
    return RulerMarks(
        line=_ruler(scale, ticks, step, 0),
        field=_field(_places(scale, field), -FIELD_REACH),
        figures=_figures(scale, ticks, step),
    )


def line_marks(
    scale: Scale, mean: float, low: float | None, high: float | None, *, is_dashed: bool = False
) -> LineMarks:
    """One interval with its mean, on the ruler of its scale."""
    begins, ends = (mean if end is None else end for end in (low, high))
    is_named_after = scale.along(begins) < NAME_ROOM
    return LineMarks(
        interval="" if low is None or high is None else f"M{_at(scale, low)} 0H{_at(scale, high)}",
        mean=f"M{_at(scale, mean)} {-MEAN_TICK}v{2 * MEAN_TICK}",
        along=_percent(scale, ends if is_named_after else begins),
        is_named_after=is_named_after,
        is_dashed=is_dashed,
    )


def _figures(scale: Scale, ticks: Sequence[float], step: float) -> tuple[Figure, ...]:
    decimals = max(0, -math.floor(math.log10(step)))
    return tuple(Figure(_percent(scale, tick), figures.number(tick, decimals)) for tick in ticks)


def _places(scale: Scale, values: Iterable[float]) -> list[int]:
    """Where there is a value, each once: of hundreds, many share a place."""
    along = (np.array([*values], dtype=np.float64) - scale.low) / (scale.high - scale.low)
    return [*dict.fromkeys(np.rint(WIDTH * along).astype(int).tolist())]


def _field(places: Iterable[int], down: int) -> str:
    """A stroke at each place; each but the first is said by how far it is from the one before."""
    strokes, before = "", None
    for place in sorted(places):
        start = f"M{place} {down}" if before is None else f"m{place - before}-{FIELD_REACH}"
        strokes += f"{start}v{FIELD_REACH}"
        before = place
    return strokes


def _values(rows: Sequence[PanelRow]) -> Iterator[float | None]:
    for row in rows:
        yield from (row.value, row.low, row.high)
        if isinstance(row, FieldMarks):
            yield from row.field


def _strip(rows: Sequence[PanelRow], scale: Scale) -> Strip:
    title, _, under = rows[0].heading.partition("\n")
    lines, down = [], 0
    own = [row for row in rows if not isinstance(row, FieldMarks)]
    for marks in grouped(own, lambda row: row.row).values():
        line, down = _line(marks, scale, down)
        lines.append(line)
    ruler = down + FIELD_REACH
    field = _places(
        scale, (value for row in rows if isinstance(row, FieldMarks) for value in row.field)
    )
    ticks, step = nice_ticks(scale.low, scale.high)
    return Strip(
        title=title,
        under=under,
        spoken="; ".join(row.reading for row in own if row.reading and not isinstance(row, RunRow)),
        height=down + RULER_PX,
        field=_field(field, down),
        grid=f"matrix(1 0 0 {down / FIELD_REACH:.4f} 0 {-down * down / FIELD_REACH:.3f})",
        ruler=_ruler(scale, ticks, step, ruler),
        figures=_figures(scale, ticks, step),
        lines=tuple(lines),
    )


def _ruler(scale: Scale, ticks: Sequence[float], step: float, down: int) -> str:
    """The base line, a long tick under each figure, and short ones at tenths of the way."""
    tenth = step / 10
    first, last = math.ceil(scale.low / tenth), math.floor(scale.high / tenth)
    long = _ticks(scale, ticks[0], step, len(ticks), (down, LONG_TICK))
    short = _ticks(scale, first * tenth, tenth, last - first + 1, (down, TICK))
    return f"M0 {down}h{WIDTH}{long}{short}"


def _ticks(scale: Scale, first: float, step: float, count: int, place: tuple[int, int]) -> str:
    """So many ticks, from where they begin and how long they are; alike, so that they pack."""
    down, length = place
    apart = WIDTH * step / (scale.high - scale.low)
    others = f"m{apart:.3f}-{length}v{length}" * (count - 1)
    return f"M{WIDTH * scale.along(first):.1f} {down}v{length}{others}"


def _line(marks: Sequence[PanelRow], scale: Scale, top: int) -> tuple[StripLine, int]:
    """A row below ``top``, and where it ends: its label, a line a day, and its mean."""
    days = grouped([row for row in marks if isinstance(row, RunRow)], lambda run: run.date)
    pitch = DAY_PX if len(days) <= FEW_DAYS else CROWDED_PX
    downs = [top + LABEL_PX + pitch * number + pitch // 2 for number in range(len(days))]
    middle = top + LABEL_PX + pitch * len(days) + MEAN_PX // 2
    whole = [row for row in marks if not isinstance(row, RunRow) and row.value is not None]
    line = StripLine(
        label=fit(next((row.label for row in marks if row.label), ""), LABEL_WIDTH, TEXT_SIZE),
        down=top + LABEL_PX - 5,
        interval="".join(
            f"M{_at(scale, row.low)} {middle}H{_at(scale, row.high)}"
            for row in whole
            if row.low is not None and row.high is not None
        ),
        mean="".join(
            f"M{_at(scale, row.value)} {middle - MEAN_REACH}v{2 * MEAN_REACH}"
            for row in whole
            if row.kind is PanelMark.MEAN
        ),
        is_dashed=any(row.is_dashed for row in whole),
        dots=(
            *(_dot(run, scale, y) for y, day in zip(downs, days, strict=True) for run in days[day]),
            *(_dot(row, scale, middle) for row in whole if row.kind is not PanelMark.MEAN),
        ),
        days=tuple(_day_words(days, scale, downs)),
    )
    return line, middle + MEAN_PX // 2 + ROW_GAP_PX


def _day_words(
    days: Mapping[str, Sequence[RunRow]], scale: Scale, downs: Sequence[int]
) -> Iterator[DayWords]:
    """The dates, of which only some have room where days stand closely."""
    free = 0
    for down, (words, runs) in zip(downs, days.items(), strict=True):
        if down >= free:
            free = down + DAY_PX
            first = min(scale.along(run.value or 0.0) for run in runs)
            yield DayWords(down, words, is_at_end=first < DATE_ROOM)


def _dot(row: PanelRow, scale: Scale, down: int) -> StripDot:
    return StripDot(
        along=_percent(scale, row.value or 0.0),
        down=down,
        reading=row.reading or "",
        is_open=row.is_open,
        is_run=row.kind is PanelMark.RUN,
    )


def _at(scale: Scale, value: float | None) -> int:
    return round(WIDTH * scale.along(value or 0.0))


def _percent(scale: Scale, value: float) -> str:
    return f"{100 * scale.along(value):.1f}%"
