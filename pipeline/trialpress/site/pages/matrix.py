"""All set-ups on all current protocols: one table, a cell a standing.

In:  the standings in words, and the overall.
Out: ``MatrixPage``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.material import Material
from trialpress.site.pages.filters import FilterChoices, FilterKeys, filter_choices, filter_keys
from trialpress.site.pages.lines import StandingLine
from trialpress.site.urls import SetupLink
from trialpress.view import results, typed
from trialpress.words import figures, say


@dataclass(frozen=True)
class MatrixColumn:
    """One series, its unit, and how many set-ups were run on it."""

    series: Link
    unit: str
    of: str


@dataclass(frozen=True)
class MatrixCell:
    """A place and a mean; ``place`` is blank where there are none, and ``note`` says why."""

    title: str
    place: str
    places: str
    value: str
    note: str


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
    choices: FilterChoices
    rows: tuple[MatrixRow, ...]


def matrix_page(material: Material) -> MatrixPage:
    """The matrix, in the order of the overall, then by name."""
    view = material.view
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
        columns=tuple(_column(material, series) for series in view.current_series),
        choices=filter_choices(view, setups),
        rows=_rows(material, setups),
    )


def _column(material: Material, series: typed.Protocol) -> MatrixColumn:
    ranked = len(material.lines[(series.protocol, series.version)])
    return MatrixColumn(
        series=Link(series.title, urls.standing_url(series)),
        unit=series.unit,
        of=say("of {ranked}", ranked=ranked),
    )


def _rows(material: Material, setups: list[str]) -> tuple[MatrixRow, ...]:
    view = material.view
    overall = {row.setup: row for row in view.overall}
    lines = {
        (series.protocol, line.name.setup): line
        for series in view.current_series
        for line in material.lines[(series.protocol, series.version)]
    }
    return tuple(
        MatrixRow(
            urls.setup_link(view, setup),
            filter_keys(view, setup),
            _overall_cell(overall.get(setup)),
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
        return MatrixCell(series.title, place="", places="", value="", note=say("not run"))
    return MatrixCell(
        series.title, line.place, line.places, figures.with_unit(line.value, line.unit), note=""
    )


def _overall_cell(row: results.Overall | None) -> MatrixCell:
    title = say("Overall")
    if row is None:
        return MatrixCell(title, place="", places="", value="", note=say("no place"))
    return MatrixCell(
        title,
        str(row.place),
        figures.places(row.place_best, row.place_worst),
        figures.with_unit(figures.number(row.mean, row.decimals), "%"),
        note="",
    )
