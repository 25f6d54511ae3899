"""What goes with good results: one page a current series, and one that leads to them.

In:  machines with their values, associations and their groups, sentences and charts.
Out: ``FactorsPage`` and ``FactorsIndexPage``. Every machine is visible; nothing is called a cause.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from trialpress.analyses.records import AssociationGroupRow, AssociationRow, MachineValueRow
from trialpress.charts import Strips
from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.source import SiteSource
from trialpress.site.wording import shift_words
from trialpress.view import typed, verdicts
from trialpress.view.sentences.associations import GOES_WITH, factors_plainly
from trialpress.view.sentences.groups import warning_of
from trialpress.view.terms import FACTORS, group_name, kind_name
from trialpress.view.verdicts import Verdict
from trialpress.words import figures, message, say

KIND, PRICE_BAND = "kind", "price-band"
TITLES = {
    "head": message("Head"),
    "mop": message("Mop"),
    KIND: message("Kind of machine"),
    PRICE_BAND: message("Price band"),
    "price": message("Price"),
    "released-year": message("Year of release"),
}
"""What the parts of a page are headed."""


@dataclass(frozen=True)
class GroupRow:
    """One group of machines against the others of their kinds, or of the series."""

    level: str
    machines: str
    median: str
    extent: str
    verdict: Verdict
    shift: str
    warning: str


@dataclass(frozen=True)
class FactorPart:
    """One factor: whether it goes with the results, and its groups where it has some.

    ``goes_with`` where it is shown to; ``finding`` says it as a heading.
    """

    anchor: str
    title: str
    finding: str
    goes_with: bool
    sentence: str
    groups: tuple[GroupRow, ...]
    sentences: tuple[str, ...]


@dataclass(frozen=True)
class FactorMachine:
    """One machine and everything that it is; blank where that is not known."""

    machine: str
    name: Link
    value: str
    value_key: str
    kind: str
    head: str
    mop: str
    price: str
    price_key: str
    released: str


@dataclass(frozen=True)
class FactorsPage:
    """Everything the page of one series shows."""

    template: ClassVar[str] = "pages/factors.html"
    frame: Frame
    standing: Link
    unit: str
    better: str
    summary: tuple[str, ...]
    factors: tuple[FactorPart, ...]
    chart: Strips | None
    machines: tuple[FactorMachine, ...]
    others: tuple[Link, ...]


@dataclass(frozen=True)
class FactorsIndexRow:
    """One series, and the factors that go with its results."""

    series: Link
    machines: str
    goes_with: str


@dataclass(frozen=True)
class FactorsIndexPage:
    """The list of series."""

    template: ClassVar[str] = "pages/factors_index.html"
    frame: Frame
    rows: tuple[FactorsIndexRow, ...]


def factors_pages(source: SiteSource) -> Iterator[FactorsPage]:
    """The page of every current series that has machines with a value."""
    yield from (_page(source, series) for series in _looked_at(source))


def factors_index_page(source: SiteSource) -> FactorsIndexPage:
    """The list of series."""
    return FactorsIndexPage(
        frame=frame_of(
            source.view.settings,
            urls.FACTORS,
            say("What goes with good results"),
            say(
                "Head, mop, kind, price and year of release against the results of every protocol, "
                "with every machine to be seen."
            ),
            under=urls.QUESTIONS,
        ),
        rows=tuple(_index_row(source, series) for series in _looked_at(source)),
    )


def _looked_at(source: SiteSource) -> tuple[typed.Protocol, ...]:
    return tuple(
        series
        for series in source.view.current_series
        if (series.protocol, series.version) in source.view.analysed.associations
    )


def _index_row(source: SiteSource, series: typed.Protocol) -> FactorsIndexRow:
    key = (series.protocol, series.version)
    listed = [
        FACTORS[row.factor]
        for row in source.view.analysed.associations[key]
        if row.relation == GOES_WITH
    ]
    machines = sum(row.value is not None for row in source.view.analysed.machine_values[key])
    return FactorsIndexRow(
        series=Link(series.title, urls.factors_url(series)),
        machines=str(machines),
        goes_with=figures.listing(listed),
    )


def _page(source: SiteSource, series: typed.Protocol) -> FactorsPage:
    key = (series.protocol, series.version)
    valued = [row for row in source.view.analysed.machine_values[key] if row.value is not None]
    return FactorsPage(
        frame=frame_of(
            source.view.settings,
            urls.factors_url(series),
            say("What goes with good results: {protocol}", protocol=series.title),
            say(
                "Head, mop, kind, price and year of release against the results on {protocol}, "
                "every machine shown.",
                protocol=series.title,
            ),
            under=urls.QUESTIONS,
        ),
        standing=Link(series.title, urls.standing_url(series)),
        unit=series.unit,
        better=verdicts.better_way(series.better),
        summary=factors_plainly(source.view.analysed.associations[key]),
        factors=tuple(_part(source, row) for row in source.view.analysed.associations[key]),
        chart=source.charts.factors.get(key),
        machines=tuple(
            _machine(source, row) for row in sorted(valued, key=lambda row: -(row.value or 0.0))
        ),
        others=tuple(
            Link(one.title, urls.factors_url(one))
            for one in _looked_at(source)
            if one is not series
        ),
    )


def _part(source: SiteSource, row: AssociationRow) -> FactorPart:
    key = (row.protocol, row.version)
    groups = source.view.analysed.groups.get((key, row.factor), ())
    sentences = source.sentences
    return FactorPart(
        anchor=row.factor,
        title=say(TITLES[row.factor]),
        # For translators: {factor} is such as "Kind of machine".
        finding=say("{factor} goes with the results", factor=say(TITLES[row.factor])),
        goes_with=row.relation == GOES_WITH,
        sentence=sentences.associations[row.factor, key],
        groups=tuple(_group(group, source) for group in groups),
        sentences=tuple(sentences.groups[row.factor, group.level, key] for group in groups),
    )


def _group(row: AssociationGroupRow, source: SiteSource) -> GroupRow:
    return GroupRow(
        level=_level(row, source.view.settings.currency),
        machines=str(row.machines),
        median=figures.number(row.median, row.decimals),
        extent=figures.interval(row.lowest, row.highest, row.decimals) if row.machines > 1 else "",
        verdict=verdicts.relation(row.relation),
        shift=shift_words(row),
        warning=warning_of(row, source.view.names.makers),
    )


def _level(row: AssociationGroupRow, currency: str) -> str:
    """What the machines of a group have in common."""
    name = group_name(row.factor, row.level)
    return f"{currency} {name}" if row.factor == PRICE_BAND else name


def _machine(source: SiteSource, row: MachineValueRow) -> FactorMachine:
    view = source.view
    value = row.value or 0.0
    return FactorMachine(
        machine=row.machine,
        name=Link(view.names.machines[row.machine], urls.machine_url(row.machine)),
        value=figures.number(value, row.decimals),
        value_key=f"{value:.{row.decimals}f}",
        kind=kind_name(row.kind),
        head=row.head or "",
        mop=row.mop or "",
        price="" if row.price is None else figures.money(row.price, view.settings.currency),
        price_key="" if row.price is None else f"{row.price:.2f}",
        released="" if row.released_year is None else str(row.released_year),
    )
