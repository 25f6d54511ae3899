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
from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.filters import FilterChoices, FilterKeys, filter_choices, filter_keys
from trialpress.site.pages.parameters import floor_name
from trialpress.site.source import SiteSource
from trialpress.site.urls import SetupLink
from trialpress.store import grouped
from trialpress.view import View, results, typed
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

    name: SetupLink
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
    in_steps: bool
    figures: Json


def my_floors_page(source: SiteSource) -> MyFloorsPage:
    """The page of the reader's own weights."""
    view = source.view
    series = _series(view)
    parts = {part.setup for part in _parts(view)}
    setups = sorted(parts, key=lambda setup: view.names.setups[setup].full.casefold())
    weights = [one.in_overall for one in series]
    return MyFloorsPage(
        frame=frame_of(
            view.settings,
            urls.MY_FLOORS,
            say("My floors"),
            say(
                "Say how much each floor matters at your home, and see the overall standing for "
                "it, by the same formula as the bench's own."
            ),
            under=urls.OVERALL,
        ),
        sliders=tuple(_slider(view, one) for one in series),
        most=f"{max([LEAST_MOST, *(2 * weight for weight in weights)]):.12g}",
        choices=filter_choices(view, setups),
        rows=_complete(view),
        incomplete=_incomplete(view, setups),
        in_steps=view.is_overall_in_steps,
        figures=_figures(view, series, setups),
    )


def _parts(view: View) -> Sequence[results.OverallPart]:
    """What the bench's way to form an overall can take in."""
    if view.is_overall_in_steps:
        return [part for part in view.overall_parts if part.step is not None]
    return [part for part in view.overall_parts if part.in_ratio]


def _part(part: results.OverallPart, *, in_steps: bool) -> Json:
    """Mean, standard error and degrees of freedom; in steps from the median where asked for."""
    if not in_steps or part.step is None:
        return [part.mean, part.standard_error, part.df]
    error = None if part.standard_error is None else part.standard_error / abs(part.step)
    return [(part.mean - part.median) / part.step, error, part.df]


def _series(view: View) -> Sequence[typed.Protocol]:
    by_series = grouped(_parts(view), lambda part: (part.protocol, part.version))
    return tuple(view.series[key] for key in by_series)


def _slider(view: View, series: typed.Protocol) -> Slider:
    return Slider(
        series.protocol,
        Link(series.title, urls.standing_url(series)),
        floor_name(view, series),
        f"{series.in_overall:.12g}",
    )


def _complete(view: View) -> tuple[MyFloorsRow, ...]:
    return tuple(
        MyFloorsRow(
            name=urls.setup_link(view, row.setup),
            keys=filter_keys(view, row.setup),
            place=str(row.place),
            value=figures.number(row.mean, row.decimals),
            interval=""
            if row.low is None or row.high is None
            else figures.interval(row.low, row.high, row.decimals),
        )
        for row in view.overall
    )


def _incomplete(view: View, setups: Sequence[str]) -> tuple[MyFloorsRow, ...]:
    """Without a place: run on some of what counts here, or on what only a reader may count."""
    missing = {
        row.setup: say("not yet run on: {protocols}", protocols=row.missing)
        for row in view.incomplete
    }
    return tuple(
        MyFloorsRow(
            urls.setup_link(view, setup),
            filter_keys(view, setup),
            place="",
            value="",
            interval=missing.get(setup, ""),
        )
        for setup in setups
        if setup not in view.complete_setups
    )


def _figures(view: View, series: Sequence[typed.Protocol], setups: Sequence[str]) -> Json:
    """What ``static/js/overall.js`` works with; parts in the order of set-ups and protocols."""
    part = {(part.setup, part.protocol): part for part in _parts(view)}
    confidence = view.settings.confidence
    found = [[part.get((setup, one.protocol)) for one in series] for setup in setups]
    return {
        "inSteps": view.is_overall_in_steps,
        "confidence": confidence,
        "normal": float(special.ndtri((1 + confidence) / 2)),
        "protocols": [{"slug": one.protocol, "title": one.title} for one in series],
        "setups": [{"slug": setup, "name": view.names.setups[setup].full} for setup in setups],
        "parts": [
            [None if one is None else _part(one, in_steps=view.is_overall_in_steps) for one in own]
            for own in found
        ],
    }
