"""Up to four set-ups side by side: the page, and what its script knows of every set-up.

In:  the standings in words, machines, claims.
Out: ``ComparePage``, and one data script for all set-ups.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from trialpress.charts.chart import Json
from trialpress.site import urls, wording
from trialpress.site.data_scripts import DataScript
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.material import Material
from trialpress.site.pages.claims import spoken
from trialpress.site.pages.lines import StandingLine
from trialpress.site.pages.machine import no_place, price_words
from trialpress.site.pages.runs import as_typed
from trialpress.site.relations import relations_name
from trialpress.view import View, terms, typed, verdicts
from trialpress.view.terms import kind_name
from trialpress.words import figures, say, say_as

DATA = "setups"
AT_ONCE = 4


@dataclass(frozen=True)
class Offer:
    """One set-up that can be put beside others."""

    setup: str
    words: str


@dataclass(frozen=True)
class MakerOffers:
    """The set-ups of one maker."""

    maker: str
    offers: tuple[Offer, ...]


@dataclass(frozen=True)
class ComparePage:
    """What the page shows before its script fills it; ``start`` is a pair to begin with."""

    template: ClassVar[str] = "pages/compare.html"
    frame: Frame
    at_once: int
    data: str
    makers: tuple[MakerOffers, ...]
    start: Link | None


def compare_page(material: Material) -> ComparePage:
    """The page that puts set-ups side by side."""
    view = material.view
    return ComparePage(
        frame=frame_of(
            view.settings,
            urls.COMPARE,
            say("Side by side"),
            say(
                "Up to {most} set-ups side by side on every protocol: means, intervals, and the "
                "difference in words.",
                most=AT_ONCE,
            ),
            under=urls.MACHINES,
        ),
        at_once=AT_ONCE,
        data=DATA,
        makers=_offers(view),
        start=_start(view),
    )


def compare_script(material: Material) -> DataScript:
    """Every set-up, as the page words it, and the series in their order."""
    view = material.view
    series: list[Json] = [
        {
            "relations": relations_name(one),
            "title": one.title,
            "url": urls.standing_url(one),
            "unit": f"{one.unit}, {verdicts.better_way(one.better)}",
        }
        for one in view.current_series
    ]
    setups: dict[str, Json] = {
        setup.setup: _setup(material, setup)
        for setup in sorted(view.setups, key=lambda row: row.setup)
    }
    return DataScript(DATA, {"series": series, "setups": setups})


def _offers(view: View) -> tuple[MakerOffers, ...]:
    return tuple(
        MakerOffers(
            maker.name,
            tuple(
                Offer(setup.setup, view.names.setups[setup.setup].full)
                for machine in view.machines_of.get(maker.maker, ())
                for setup in view.setups_of.get(machine.machine, ())
            ),
        )
        for maker in view.makers
    )


def _start(view: View) -> Link | None:
    """The first two of the overall, where it has two."""
    first = [row.setup for row in view.overall][:2]
    if len(first) < 2:  # noqa: PLR2004  a pair
        return None
    names = figures.listing([view.names.setups[setup].full for setup in first])
    return Link(names, urls.compare_url(*first))


def _setup(material: Material, setup: typed.Setup) -> Json:
    view = material.view
    name = urls.setup_link(view, setup.setup)
    return {
        "machine": name.machine,
        "label": name.label,
        "url": name.url,
        "about": [[what, text] for what, text in _about(view, setup)],
        "overall": _overall(view, setup.setup),
        "standings": {
            relations_name(series): _standing(line)
            for series in view.current_series
            for line in material.lines[(series.protocol, series.version)]
            if line.name.setup == setup.setup
        },
        "claims": [
            f"{spoken(claim.quantity)}: {figures.with_unit(as_typed(claim.value), claim.unit)} "
            f"({claim.source}, {figures.day(claim.stated_on)})"
            for claim in view.claims
            if claim.machine == setup.machine
        ],
    }


def _about(view: View, setup: typed.Setup) -> Sequence[tuple[str, str]]:
    """The same lines for every set-up, so that they stand beside each other; blank if unknown."""
    machine = view.machine[setup.machine]
    return (
        (say("Kind"), kind_name(machine.kind)),
        (say("Head"), machine.head or ""),
        (say("Price"), price_words(machine)),
        (say("How it came here"), terms.ACQUIRED[machine.acquired]),
        (say("Specimen"), setup.specimen or ""),
        (say("As unboxed"), say("yes") if setup.stock else say("no")),
        (say("Brushes"), setup.brushes or ""),
        (say("Mode"), setup.mode or ""),
    )


def _standing(line: StandingLine) -> Json:
    return {
        "value": line.value,
        "interval": line.interval or line.why or say("no interval"),
        "place": _place(line.place_key, line.ranked),
        "could": _could(line.places_spoken),
        "marks": "; ".join(line.marks),
        "runs": line.runs,
    }


def _overall(view: View, setup: str) -> Json:
    placed = next((row for row in view.overall if row.setup == setup), None)
    if placed is None:
        missing = next((row.missing for row in view.incomplete if row.setup == setup), "")
        return {"value": "", "why": no_place(missing) if missing else ""}
    has_interval = placed.low is not None and placed.high is not None
    return {
        "value": figures.number(placed.mean, placed.decimals),
        "interval": figures.interval(placed.low or 0.0, placed.high or 0.0, placed.decimals)
        if has_interval
        else (terms.WHY[placed.why] if placed.why else "") or say("no interval"),
        "place": _place(placed.place, len(view.overall)),
        "could": _could(wording.could_be(placed.place_best, placed.place_worst)),
        "marks": "",
        "runs": "",
    }


def _place(place: int, ranked: int) -> str:
    # For translators: {place} is such as "2nd".
    return say("{place} of {ranked}", place=figures.ordinal(place), ranked=ranked)


def _could(places: str) -> str:
    return say_as("anywhere from 4th to 9th", "could be {places}", places=places)
