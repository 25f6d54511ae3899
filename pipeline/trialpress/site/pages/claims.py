"""Claims against measurements: one page a quantity, and one that leads to them and tells air power.

In:  claims with what they were held against, correlations, air powers, sentences and charts.
Out: ``ClaimsPage`` and ``ClaimsIndexPage``. What was stated stands beside the figure in one unit.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from trialpress.analyses.records import AirPowerRow, ClaimCheckRow
from trialpress.charts import Chart
from trialpress.site import urls, wording
from trialpress.site.embedding import Embed, embed_of
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.source import SiteSource
from trialpress.site.tallies import DrawnTally, tally_of
from trialpress.view import verdicts
from trialpress.view.sentences.associations import stated_plainly
from trialpress.view.sentences.claims import (
    claims_finding,
    claims_story,
    decided_by_name,
    picked_words,
    within_tolerance,
)
from trialpress.view.terms import why_words
from trialpress.view.verdicts import Verdict
from trialpress.words import figures, say
from trialpress.words.figures import three_digits


@dataclass(frozen=True)
class ClaimRow:
    """One claim, and the set-up it is held against where there is one."""

    machine: Link
    stated: str
    source: str
    stated_on: str
    is_superseded: bool
    in_one_unit: str
    in_one_unit_key: str
    measured: str
    setup: str
    picked: str
    difference: str
    verdict: Verdict | None
    why: str


@dataclass(frozen=True)
class ClaimChart:
    """One scatter of results against what was stated, and how to show it elsewhere."""

    chart: Chart
    embed: Embed


@dataclass(frozen=True)
class ClaimsPage:
    """Everything the page of one quantity shows."""

    template: ClassVar[str] = "pages/claims.html"
    frame: Frame
    summary: str
    finding: str
    decided: tuple[str, ...]
    tally: DrawnTally
    unit: str
    is_measured: bool
    rows: tuple[ClaimRow, ...]
    charts: tuple[ClaimChart, ...]
    going_plainly: tuple[str, ...]
    going_with: tuple[str, ...]
    sentences: tuple[str, ...]


@dataclass(frozen=True)
class QuantityRow:
    """One quantity: how many claims, and the series with whose results they go."""

    quantity: Link
    summary: str
    tally: DrawnTally
    goes_with: str


@dataclass(frozen=True)
class AirPower:
    """A stated pressure and flow; ``stated`` as they were, ``air_power`` where there is one."""

    machine: Link
    stated: str
    in_one_unit: str
    product: str
    air_power: str
    sentence: str


@dataclass(frozen=True)
class ClaimsIndexPage:
    """The list of quantities with ``tally``, all claims together, and air power."""

    template: ClassVar[str] = "pages/claims_index.html"
    frame: Frame
    summary: str
    tally: DrawnTally | None
    quantities: tuple[QuantityRow, ...]
    air_powers: tuple[AirPower, ...]

    @property
    def goes_with_any(self) -> bool:
        """Whether any quantity is shown to go with results."""
        return any(row.goes_with for row in self.quantities)


def claims_pages(source: SiteSource) -> Iterator[ClaimsPage]:
    """The page of every quantity that was claimed."""
    yield from (_page(source, quantity) for quantity in source.view.analysed.claims)


def charts_of(source: SiteSource, quantity: str) -> tuple[Chart, ...]:
    """The scatters of one quantity; it has several where it was stated in units of two kinds."""
    names = (quantity, f"{quantity} in ")
    return tuple(
        chart
        for name, chart in source.charts.claims.items()
        if name == names[0] or name.startswith(names[1])
    )


def spoken(quantity: str) -> str:
    """A quantity in words."""
    return quantity.replace("-", " ")


def claims_index_page(source: SiteSource) -> ClaimsIndexPage:
    """The list of quantities, and air power."""
    rows = [row for checks in source.view.analysed.claims.values() for row in checks]
    return ClaimsIndexPage(
        frame=frame_of(
            source.view.settings,
            urls.CLAIMS,
            say("Claims against measurements"),
            say(
                "What spec sheets state, brought to one unit, held against what this bench "
                "measures, and whether big figures go with good results."
            ),
            under=urls.QUESTIONS,
        ),
        summary=claims_story(rows) if rows else "",
        tally=tally_of([row.verdict for row in rows]) if rows else None,
        quantities=tuple(_quantity(source, one) for one in source.view.analysed.claims),
        air_powers=tuple(
            _air_power(source, row, sentence)
            for row, sentence in zip(
                source.view.analysed.air_powers, source.sentences.air_powers, strict=True
            )
        ),
    )


def _quantity(source: SiteSource, quantity: str) -> QuantityRow:
    listed = [
        source.view.series[row.protocol, row.version].title
        for row in source.view.analysed.claim_associations.get(quantity, ())
        if row.relation == "goes with" and source.view.series[row.protocol, row.version].is_current
    ]
    return QuantityRow(
        quantity=Link(wording.capitalised(spoken(quantity)), urls.claims_url(quantity)),
        summary=source.sentences.claim_tallies[quantity],
        tally=tally_of([row.verdict for row in source.view.analysed.claims[quantity]]),
        goes_with=figures.listing(listed),
    )


def _air_power(source: SiteSource, row: AirPowerRow, sentence: str) -> AirPower:
    point = f"-at-{row.operating_point}" if row.operating_point else ""
    stated = [
        figures.with_unit(figures.typed_number(claim.stated_value), claim.stated_unit)
        for what in ("suction", "airflow")
        for claim in source.view.analysed.claims[what + point]
        if (claim.machine, claim.source, claim.stated_on)
        == (row.machine, row.source, row.stated_on)
    ]
    stated_in = (row.pressure_kpa, "kPa"), (row.flow_l_per_s, "L/s")
    return AirPower(
        machine=Link(source.view.names.machines[row.machine], urls.machine_url(row.machine)),
        stated=figures.listing(stated),
        in_one_unit=figures.listing(
            [figures.with_unit(three_digits(value), unit) for value, unit in stated_in]
        ),
        product=figures.with_unit(three_digits(row.ceiling_w), "W"),
        air_power=""
        if row.air_power_w is None
        else figures.with_unit(three_digits(row.air_power_w), "W"),
        sentence=sentence,
    )


def _page(source: SiteSource, quantity: str) -> ClaimsPage:
    view, sentences, name = source.view, source.sentences, spoken(quantity)
    checks = source.view.analysed.claims[quantity]
    looks = [
        row
        for row in source.view.analysed.claim_associations.get(quantity, ())
        if view.series[row.protocol, row.version].is_current
    ]
    units = list(dict.fromkeys(row.unit for row in checks if row.unit))
    return ClaimsPage(
        frame=frame_of(
            view.settings,
            urls.claims_url(quantity),
            # For translators: {quantity} is in the bench's own words, such as "Suction".
            say("{quantity}: claims against measurements", quantity=wording.capitalised(name)),
            say(
                "What spec sheets state as {quantity}, as stated and in one unit, against what "
                "this bench measures.",
                quantity=name,
            ),
            under=urls.QUESTIONS,
        ),
        summary=sentences.claim_tallies[quantity],
        finding=claims_finding(checks),
        decided=decided_by_name(checks, view.names),
        tally=tally_of([row.verdict for row in checks]),
        # For translators: in the place of a unit, as in "In kPa".
        unit=figures.listing(units, "or") or say("one unit"),
        is_measured=any(row.measured is not None for row in checks),
        rows=tuple(claim_row(source, row, is_one_unit=len(units) == 1) for row in checks),
        charts=tuple(
            ClaimChart(chart, embed_of(view.settings, chart))
            for chart in charts_of(source, quantity)
        ),
        going_plainly=stated_plainly(looks, view.names),
        going_with=tuple(
            sentences.claim_associations[quantity, row.unit, (row.protocol, row.version)]
            for row in looks
        ),
        sentences=tuple(sentences.claims[row.claim] for row in checks),
    )


def claim_row(source: SiteSource, row: ClaimCheckRow, *, is_one_unit: bool) -> ClaimRow:
    """One line of a table of claims; ``is_one_unit`` where its head names the unit."""
    view, digits = source.view, row.decimals or 0
    difference = ""
    if row.difference is not None:
        difference = figures.signed(row.difference, digits)
    if row.difference_low is not None and row.difference_high is not None:
        ends = figures.interval(row.difference_low, row.difference_high, digits)
        difference = f"{difference} ({ends})"
    return ClaimRow(
        machine=Link(view.names.machines[row.machine], urls.machine_url(row.machine)),
        stated=within_tolerance(
            figures.with_unit(figures.typed_number(row.stated_value), row.stated_unit), row
        ),
        source=row.source,
        stated_on=figures.day(row.stated_on),
        is_superseded=not row.is_newest,
        in_one_unit=""
        if row.value is None
        else figures.with_unit(three_digits(row.value), "" if is_one_unit else row.unit or ""),
        in_one_unit_key="" if row.value is None else f"{row.value:.12g}",
        measured="" if row.measured is None else figures.number(row.measured, digits),
        setup=view.setup[row.setup].label if row.setup else "",
        picked=picked_words(row),
        difference=difference,
        verdict=verdicts.claim(row.verdict) if row.verdict else None,
        why=why_words(row.why) if row.why else "",
    )
