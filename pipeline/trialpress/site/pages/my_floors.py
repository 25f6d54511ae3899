"""The overall with a reader's own weights: the page, and the figures its script works with.

In:  the parts of the overall, and the overall at the bench's own weights.
Out: ``MyFloorsPage``. Without scripts it shows the bench's own weights.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from scipy import special

from trialpress.charts.chart import Json
from trialpress.site import rows, urls
from trialpress.site.facts import Facts, grouped
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.material import Material
from trialpress.site.names import SetupName, setup_name
from trialpress.site.pages.filters import FilterChoices, FilterKeys, filter_choices, filter_keys
from trialpress.words import figures, say

LEAST_MOST = 3.0
"""How far the sliders reach at least; they reach twice as far as the bench's largest weight."""


@dataclass(frozen=True)
class Slider:
    """One protocol and how much it matters; ``weight`` is the bench's own, for a script to read."""

    protocol: str
    series: Link
    floor: str
    weight: str


@dataclass(frozen=True)
class MyFloorsRow:
    """One set-up at the bench's own weights; without a place, ``interval`` says what is missing."""

    name: SetupName
    keys: FilterKeys
    place: str
    value: str
    interval: str


@dataclass(frozen=True)
class MyFloorsPage:
    """Everything the page shows, and ``figures`` for its script."""

    template: ClassVar[str] = "pages/my_floors.html"
    frame: Frame
    sliders: tuple[Slider, ...]
    most: str
    choices: FilterChoices
    rows: tuple[MyFloorsRow, ...]
    incomplete: tuple[MyFloorsRow, ...]
    figures: Json


def my_floors_page(material: Material) -> MyFloorsPage:
    """The page of the reader's own weights."""
    facts = material.facts
    series = _series(facts)
    parts = {part.setup for part in facts.overall_parts}
    setups = sorted(parts, key=lambda setup: facts.setup_name(setup).casefold())
    weights = [one.in_overall for one in series]
    return MyFloorsPage(
        frame=frame_of(
            facts.settings,
            urls.MY_FLOORS,
            say("My floors"),
            say(
                "Say how much each floor matters at your home, and see the overall standing for "
                "it, by the same formula as the bench's own."
            ),
            under=urls.OVERALL,
        ),
        sliders=tuple(_slider(facts, one) for one in series),
        most=f"{max([LEAST_MOST, *(2 * weight for weight in weights)]):.12g}",
        choices=filter_choices(facts, setups),
        rows=_complete(facts),
        incomplete=_incomplete(facts, setups),
        figures=_figures(facts, series, setups),
    )


def _series(facts: Facts) -> Sequence[rows.Protocol]:
    by_series = grouped(facts.overall_parts, lambda part: (part.protocol, part.version))
    return tuple(facts.series[key] for key in by_series)


def _slider(facts: Facts, series: rows.Protocol) -> Slider:
    return Slider(
        series.protocol,
        Link(series.title, urls.standing_url(series)),
        facts.floor[series.floor].name,
        f"{series.in_overall:.12g}",
    )


def _complete(facts: Facts) -> tuple[MyFloorsRow, ...]:
    return tuple(
        MyFloorsRow(
            name=setup_name(facts, row.setup),
            keys=filter_keys(facts, row.setup),
            place=str(row.place),
            value=figures.number(row.value, row.decimals),
            interval=""
            if row.low is None or row.high is None
            else figures.interval(row.low, row.high, row.decimals),
        )
        for row in facts.overall
    )


def _incomplete(facts: Facts, setups: Sequence[str]) -> tuple[MyFloorsRow, ...]:
    """Without a place: run on some of what counts here, or on what only a reader may count."""
    missing = {
        row.setup: say("not yet run on: {protocols}", protocols=row.missing)
        for row in facts.incomplete
    }
    return tuple(
        MyFloorsRow(
            setup_name(facts, setup),
            filter_keys(facts, setup),
            place="",
            value="",
            interval=missing.get(setup, ""),
        )
        for setup in setups
        if setup not in facts.complete_setups
    )


def _figures(facts: Facts, series: Sequence[rows.Protocol], setups: Sequence[str]) -> Json:
    """What ``static/js/overall.js`` works with; parts in the order of set-ups and protocols."""
    part = {(part.setup, part.protocol): part for part in facts.overall_parts}
    confidence = facts.settings.confidence
    found = [[part.get((setup, one.protocol)) for one in series] for setup in setups]
    return {
        "confidence": confidence,
        "normal": float(special.ndtri((1 + confidence) / 2)),
        "protocols": [{"slug": one.protocol, "title": one.title} for one in series],
        "setups": [{"slug": setup, "name": facts.setup_name(setup)} for setup in setups],
        "parts": [
            [None if one is None else [one.mean, one.standard_error, one.df] for one in own]
            for own in found
        ],
    }
