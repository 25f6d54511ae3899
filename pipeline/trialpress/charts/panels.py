"""Small panels, one a series: every run of a machine, or a maker's set-ups in the field.

In:  ``PanelRow`` records, in any order, with figures rounded to published digits.
Out: compiled Vega specifications, wide and narrow.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from trialpress.charts.chart import Json
from trialpress.charts.fitting import fit
from trialpress.charts.form import read_form
from trialpress.charts.reading import mean_reading
from trialpress.charts.theme import SMALL_TEXT_SIZE, TEXT_SIZE
from trialpress.charts.wording import unit_and_direction
from trialpress.view import View
from trialpress.view.results import Standing
from trialpress.view.typed import Protocol
from trialpress.words import say

PANEL_WIDTH, STEP, ROW_GAP, COLUMN_GAP = 340, 42, 24, 40
LABEL_BAND, MARK_BAND = 0.27, 0.7
"""Of a row, from 0, its top, to 1."""


class PanelMark(StrEnum):
    """What a record is drawn as."""

    LABEL = "label"
    MEAN = "mean"
    DOT = "dot"
    RUN = "run"
    FIELD = "field"


@dataclass(frozen=True)
class PanelRow:
    """One mark in one row of one panel.

    ``heading`` names the panel and ``row`` the row in it, each with its position; ``setup`` is
    None for what belongs to no set-up, such as the label of the rest of the field. Of two makers,
    the dots of the second are square.
    """

    heading: str
    heading_position: int
    kind: PanelMark
    row: str
    row_position: int
    setup: str | None
    label: str | None = None
    value: float | None = None
    low: float | None = None
    high: float | None = None
    is_open: bool = False
    is_dashed: bool = False
    is_second: bool = False
    reading: str | None = None


@dataclass(frozen=True)
class RunRow(PanelRow):
    """A run on a line of its own, with its date."""

    date: str = ""


@dataclass(frozen=True)
class FieldMarks(PanelRow):
    """The means of all other set-ups of a panel's series, behind its rows."""

    field: tuple[float, ...] = ()


def set_up_rows(
    label: PanelRow, standing: Standing, unit: str, mark: PanelMark
) -> Iterator[PanelRow]:
    """The label of a set-up's row, and under it the mean with its interval."""
    yield label
    yield replace(
        label,
        kind=mark,
        label=None,
        value=standing.mean,
        low=standing.low,
        high=standing.high,
        is_open=standing.provisional,
        is_dashed=standing.on_one_run,
        reading=mean_reading(label.label or "", standing, unit),
    )


def panel_heading(view: View, series: Protocol) -> str:
    """The heading of a series, told apart from all others, also where its title is cut short."""
    title = _fitted_title(series)
    namesakes = {row.protocol for row in view.ranked_series if _fitted_title(row) == title}
    version = "" if series.is_current else say(", version {version}", version=series.version)
    protocol = f", {series.protocol}" if len(namesakes) > 1 else ""
    return f"{title}\n{unit_and_direction(series.unit, series.better)}{version}{protocol}"


def _fitted_title(series: Protocol) -> str:
    return fit(series.title, PANEL_WIDTH, SMALL_TEXT_SIZE)


def draw_panels(rows: Sequence[PanelRow], *, columns: int) -> dict[str, Json]:
    """The compiled specification of one chart, so many panels side by side; labels are fitted."""
    return read_form(f"panels-{columns}").filled({"rows": rows}, {})


def fitted_row(row: PanelRow) -> PanelRow:
    """A row whose label is no wider than its panel."""
    return replace(row, label=row.label and fit(row.label, PANEL_WIDTH, TEXT_SIZE))
