"""One maker's set-ups across all protocols, and the list of makers.

In:  the maker overview and the standings.
Out: ``MakerPage`` and ``MakersPage``. A maker's best is always shown with the number tried.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from trialpress.charts import Strips
from trialpress.site import urls, wording
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.lines import StandingLine
from trialpress.site.pages.maker_field import FieldRow, maker_field, maker_field_finding
from trialpress.site.pages.over_time import OverTime, over_time
from trialpress.site.source import SiteSource
from trialpress.view import View, results, typed
from trialpress.view.terms import kind_name
from trialpress.words import figures, say, say_count


@dataclass(frozen=True)
class MakerSeries:
    """One maker in one series: the number tried, best, median, worst, and every line."""

    series: Link
    unit: str
    tried: str
    best: Link
    best_value: str
    median: str
    worst: str
    in_top_cut: str
    lines: tuple[StandingLine, ...]


@dataclass(frozen=True)
class MachineLine:
    """One machine of a maker."""

    machine: Link
    kind: str
    setups: str


@dataclass(frozen=True)
class MakerPage:
    """Everything the page of one maker shows."""

    template: ClassVar[str] = "pages/maker.html"
    frame: Frame
    name: str
    website: str | None
    machines: tuple[MachineLine, ...]
    chart: Strips | None
    beside: str
    series: tuple[MakerSeries, ...]
    finding: str
    field: tuple[FieldRow, ...]
    field_finding: str
    over_time: tuple[OverTime, ...]
    subset: str | None


@dataclass(frozen=True)
class MakerLine:
    """One maker in the list."""

    maker: Link
    machines: str
    setups: str
    series: str


@dataclass(frozen=True)
class MakersPage:
    """The list of makers."""

    template: ClassVar[str] = "pages/makers.html"
    frame: Frame
    makers: tuple[MakerLine, ...]


def maker_page(source: SiteSource, maker: typed.Maker) -> MakerPage:
    """The page of one maker."""
    view = source.view
    has_results = any(row.maker == maker.maker for row in view.standings)
    tried = [row for row in view.maker_overview if row.maker == maker.maker]
    field = tuple(maker_field(source, maker.maker))
    return MakerPage(
        frame=frame_of(
            view.settings,
            urls.maker_url(maker.maker),
            maker.name,
            say(
                "{maker}: every set-up on this bench across all protocols, the best with the "
                "number tried.",
                maker=maker.name,
            ),
            under=urls.MAKERS,
        ),
        name=maker.name,
        website=urls.web_address(maker.website),
        machines=tuple(
            MachineLine(
                Link(machine.name, urls.machine_url(machine.machine)),
                kind_name(machine.kind),
                figures.count(len(view.setups_of.get(machine.machine, ())), "set-up", "set-ups"),
            )
            for machine in view.machines_of.get(maker.maker, ())
        ),
        chart=source.charts.makers.get(maker.maker),
        beside=urls.maker_pair_url(maker.maker),
        series=tuple(_series(source, row) for row in tried),
        finding=_in_the_cut(tried, view.settings.top_n),
        field=field,
        field_finding=maker_field_finding(source, maker.maker) if field else "",
        over_time=tuple(over_time(source, maker.maker)),
        subset=urls.subset_url("makers", maker.maker) if has_results else None,
    )


def makers_page(source: SiteSource) -> MakersPage:
    """The list of makers."""
    view = source.view
    return MakersPage(
        frame=frame_of(
            view.settings,
            urls.MAKERS,
            say("Makers"),
            say(
                "Every maker with a machine on this bench, and how many of its set-ups were tried."
            ),
        ),
        makers=tuple(_maker_line(view, maker) for maker in view.makers),
    )


def _series(source: SiteSource, row: results.MakerOverview) -> MakerSeries:
    view = source.view
    series = view.series[(row.protocol, row.version)]
    best = view.setup[row.best_setup]
    return MakerSeries(
        series=Link(series.name.full, urls.standing_url(series)),
        unit=row.unit,
        tried=str(row.setups),
        best=Link(
            f"{view.machine[best.machine].name} ({best.label})", urls.machine_url(best.machine)
        ),
        best_value=figures.number(row.best, row.decimals),
        median=figures.number(row.median, row.decimals),
        worst=figures.number(row.worst, row.decimals),
        in_top_cut=wording.share(row.in_top_cut, row.setups),
        lines=tuple(
            line
            for line in source.lines[(row.protocol, row.version)]
            if view.machine[view.setup[line.name.setup].machine].maker == row.maker
        ),
    )


def _in_the_cut(rows: Sequence[results.MakerOverview], top_n: int) -> str:
    """In how many series a set-up of the maker is in the top cut by mean, as a heading."""
    return say_count(
        "In the top {top} by mean in {inside} of {count} series",
        "In the top {top} by mean in {inside} of {count} series",
        len(rows),
        top=top_n,
        inside=sum(row.in_top_cut > 0 for row in rows),
    )


def _maker_line(view: View, maker: typed.Maker) -> MakerLine:
    machines = view.machines_of.get(maker.maker, ())
    setups = sum(len(view.setups_of.get(machine.machine, ())) for machine in machines)
    series = sum(row.maker == maker.maker for row in view.maker_overview)
    return MakerLine(
        maker=Link(maker.name, urls.maker_url(maker.maker)),
        machines=str(len(machines)),
        setups=str(setups),
        series=str(series),
    )
