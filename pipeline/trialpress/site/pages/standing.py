"""The page of one series: who stands where, and how sure that is.

In:  one series and its standing.
Out: ``StandingPage``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from trialpress.charts import Chart
from trialpress.site import rows, urls, wording
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.material import Material
from trialpress.site.names import SetupName, series_name, setup_name
from trialpress.site.pages.filters import FilterChoices, FilterKeys, filter_choices, filter_keys
from trialpress.site.pages.lines import StandingLine
from trialpress.site.pages.parameters import Entry, parameters
from trialpress.site.summaries import spread_summary, standing_summary


@dataclass(frozen=True)
class StandingRow:
    """One line of the table, with what the filters read."""

    line: StandingLine
    keys: FilterKeys
    is_last_in_cut: bool


@dataclass(frozen=True)
class UnrankedRow:
    """A set-up without a place, and why."""

    name: SetupName
    why: str


@dataclass(frozen=True)
class StandingPage:
    """Everything the page of one series shows."""

    template: ClassVar[str] = "pages/standing.html"
    frame: Frame
    unit: str
    summary: tuple[str, ...]
    ticket: tuple[Entry, ...]
    method: Link
    chart: Chart | None
    choices: FilterChoices
    rows: tuple[StandingRow, ...]
    rests_on: tuple[str, ...]
    unranked: tuple[UnrankedRow, ...]
    current: Link | None
    others: tuple[Link, ...]


def standing_page(material: Material, series: rows.Protocol) -> StandingPage:
    """The page of one series."""
    facts = material.facts
    key = (series.protocol, series.version)
    lines = material.lines[key]
    return StandingPage(
        frame=frame_of(
            facts.settings,
            urls.standing_url(series),
            series_name(series),
            f"{series.title}: {wording.count(len(lines), 'set-up')} compared on one bench, "
            "each with its interval and the range of places the runs cannot rule out.",
            under=urls.HOME,
        ),
        unit=series.unit,
        summary=standing_summary(lines, facts.settings),
        ticket=parameters(facts, series),
        method=Link("How a run is made", urls.method_url(series.protocol)),
        chart=material.charts.standings.get(key),
        choices=filter_choices(facts, [line.name.setup for line in lines]),
        rows=_rows(material, lines),
        rests_on=tuple(
            sentence
            for spread in facts.spreads
            if (spread.protocol, spread.version) == key
            for sentence in spread_summary(spread)
        ),
        unranked=tuple(
            UnrankedRow(setup_name(facts, row.setup), wording.sentence(row.why))
            for row in facts.not_ranked
            if (row.protocol, row.version) == key
        ),
        current=_current(material, series),
        others=_others(material, series),
    )


def _rows(material: Material, lines: Sequence[StandingLine]) -> tuple[StandingRow, ...]:
    inside = [line for line in lines if line.place_key <= material.facts.settings.top_n]
    last = inside[-1] if inside and len(inside) < len(lines) else None
    return tuple(
        StandingRow(line, filter_keys(material.facts, line.name.setup), line is last)
        for line in lines
    )


def _current(material: Material, series: rows.Protocol) -> Link | None:
    if series.is_current:
        return None
    current = next(s for s in material.facts.current_series if s.protocol == series.protocol)
    return Link(_version(current), urls.standing_url(current))


def _others(material: Material, series: rows.Protocol) -> tuple[Link, ...]:
    return tuple(
        Link(_version(other), urls.standing_url(other))
        for other in material.facts.series.values()
        if other.protocol == series.protocol and not other.is_current and other is not series
    )


def _version(series: rows.Protocol) -> str:
    return f"version {series.version}, from {wording.day(series.from_date)}"
