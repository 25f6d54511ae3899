"""All set-ups on all current protocols: one table, a cell a standing.

In:  the standings in words and drawn, and the overall.
Out: ``MatrixPage``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.filters import (
    Choice,
    FilterChoices,
    FilterKeys,
    filter_choices,
    filter_keys,
)
from trialpress.site.pages.lines import StandingLine, value_scale_of
from trialpress.site.relations import OVERALL_VERDICTS, verdicts_name
from trialpress.site.source import SiteSource
from trialpress.site.strips import ValueScale, reach
from trialpress.site.urls import SetupLink
from trialpress.view import View, results, typed, verdicts
from trialpress.words import figures, say

NO_FLOOR = "none"


@dataclass(frozen=True)
class MatrixColumn:
    """One series, its floor (blank where it has none), and how many set-ups were run on it.

    ``verdicts`` is what the data are called that make a standing of any of them.
    """

    series: Link
    floor: str
    unit: str
    of: str
    verdicts: str


@dataclass(frozen=True)
class MatrixCell:
    """A place, and a mean with its interval as a path on the scale of its series.

    Without a place all is blank, and ``note`` says why.
    """

    title: str
    place: str = ""
    places: str = ""
    value: str = ""
    drawn: str = ""
    is_open: bool = False
    note: str = ""


@dataclass(frozen=True)
class MatrixRow:
    """One set-up on everything."""

    name: SetupLink
    keys: FilterKeys
    overall: MatrixCell
    cells: tuple[MatrixCell, ...]


@dataclass(frozen=True)
class MatrixPage:
    """Everything the matrix shows."""

    template: ClassVar[str] = "pages/matrix.html"
    frame: Frame
    columns: tuple[MatrixColumn, ...]
    floors: tuple[Choice, ...]
    choices: FilterChoices
    rows: tuple[MatrixRow, ...]
    verdicts: str
    """As those of the columns, of the overall; blank where nothing has an overall place."""


def matrix_page(source: SiteSource) -> MatrixPage:
    """The matrix, in the order of the overall, then by name."""
    view = source.view
    ranked = [row.setup for row in view.overall]
    others = sorted(
        (row.setup for row in view.setups if row.setup not in ranked),
        key=lambda setup: view.names.setups[setup].full,
    )
    setups = [*ranked, *others]
    return MatrixPage(
        frame=frame_of(
            view.settings,
            urls.MATRIX,
            say("All set-ups on all protocols"),
            say(
                "One table: the place and the mean of every set-up on every current protocol, to "
                "be sorted by any of them."
            ),
            under=urls.HOME,
        ),
        columns=tuple(_column(source, series) for series in view.current_series),
        floors=_floors(view),
        choices=filter_choices(view, setups),
        rows=_rows(source, setups),
        verdicts=OVERALL_VERDICTS if ranked else "",
    )


def _floors(view: View) -> tuple[Choice, ...]:
    """The floors that columns are of, in the order of the columns; last what has no floor."""
    floors = dict.fromkeys(series.floor or "" for series in view.current_series)
    names = {floor: view.floor[floor].name for floor in floors if floor}
    # For translators: a choice beside the floors, of protocols such as noise.
    others = {NO_FLOOR: say("without a floor")} if "" in floors else {}
    return tuple(Choice(value, words) for value, words in (names | others).items())


def _column(source: SiteSource, series: typed.Protocol) -> MatrixColumn:
    ranked = len(source.lines[(series.protocol, series.version)])
    return MatrixColumn(
        series=Link(series.title, urls.standing_url(series)),
        floor=series.floor or NO_FLOOR,
        unit=series.unit,
        of=say("of {ranked}", ranked=ranked),
        verdicts=verdicts_name(series),
    )


def _rows(source: SiteSource, setups: list[str]) -> tuple[MatrixRow, ...]:
    view = source.view
    overall = {row.setup: row for row in view.overall}
    scale = value_scale_of(view.overall) if view.overall else None
    lines = {
        (series.protocol, line.name.setup): line
        for series in view.current_series
        for line in source.lines[(series.protocol, series.version)]
    }
    return tuple(
        MatrixRow(
            urls.setup_link(view, setup),
            filter_keys(view, setup),
            _overall_cell(overall.get(setup), scale, view.overall_unit),
            tuple(_cell(lines, series, setup) for series in view.current_series),
        )
        for setup in setups
    )


def _cell(
    lines: Mapping[tuple[str, str], StandingLine], series: typed.Protocol, setup: str
) -> MatrixCell:
    line = lines.get((series.protocol, setup))
    if line is None:
        # For translators: of a set-up on a protocol.
        return MatrixCell(series.title, note=say("not run"))
    return MatrixCell(
        series.title,
        line.place,
        line.places,
        figures.with_unit(line.value, line.unit),
        line.reach.line + line.reach.mean,
        bool(line.marks),
    )


def _overall_cell(row: results.Overall | None, scale: ValueScale | None, unit: str) -> MatrixCell:
    title = say("Overall")
    if row is None or scale is None:
        return MatrixCell(title, note=say("no place"))
    drawn = reach(scale, row.mean, row.low, row.high)
    return MatrixCell(
        title,
        str(row.place),
        figures.places(row.place_best, row.place_worst),
        figures.with_unit(figures.number(row.mean, row.decimals), unit),
        drawn.line + drawn.mean,
        bool(verdicts.marks_of(row)),
    )
