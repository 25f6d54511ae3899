"""How a run is made: one page a protocol, with the parameters of every version, and their list.

In:  the versions of a protocol, its text, and what was run under it.
Out: ``MethodPage`` and ``MethodsPage``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.methods import cautions_for, method_parts
from trialpress.site.pages.parameters import Entry, covering_words, floor_link, parameters
from trialpress.site.source import SiteSource
from trialpress.store import grouped
from trialpress.view import View, terms, typed
from trialpress.view.sentences.graders import agreement
from trialpress.words import figures, say


@dataclass(frozen=True)
class MethodVersion:
    """One version of a protocol: since when, whether results stay comparable, parameters."""

    title: str
    since: str
    continues: str
    standing: Link
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class MethodPage:
    """Everything the page of one protocol shows; ``agreements`` are those of its newest series."""

    template: ClassVar[str] = "pages/method.html"
    frame: Frame
    purpose: Markup | None
    text: Markup | None
    cautions: tuple[str, ...]
    agreements: tuple[str, ...]
    current: MethodVersion
    earlier: tuple[MethodVersion, ...]


@dataclass(frozen=True)
class MethodLine:
    """One protocol in the list of methods."""

    method: Link
    standing: Link
    floor: Link
    reading: str
    runs: str


@dataclass(frozen=True)
class FloorLine:
    """One floor in the list of floors."""

    floor: Link
    covering: str
    series: tuple[Link, ...]


@dataclass(frozen=True)
class MethodsPage:
    """The list of all protocols and floors."""

    template: ClassVar[str] = "pages/methods.html"
    frame: Frame
    methods: tuple[MethodLine, ...]
    floors: tuple[FloorLine, ...]


def method_page(source: SiteSource, versions: Sequence[typed.Protocol]) -> MethodPage:
    """The page of one protocol, from its versions, newest first."""
    view, newest = source.view, versions[0]
    text = view.methods.get(newest.protocol)
    purpose, rest = method_parts(text) if text else (None, None)
    worded = [_version(view, version) for version in versions]
    setups = dict.fromkeys(run.setup for run in view.runs if run.protocol == newest.protocol)
    run_setups = [view.setup[setup] for setup in setups]
    return MethodPage(
        frame=frame_of(
            view.settings,
            urls.method_url(newest.protocol),
            say("Method: {protocol}", protocol=newest.title),
            say(
                "How a run of {protocol} is made, with its cautions and every version.",
                protocol=newest.title,
            ),
            under=urls.METHODS,
        ),
        purpose=purpose,
        text=rest,
        cautions=cautions_for(versions, [view.machine[s.machine] for s in run_setups], run_setups),
        agreements=tuple(
            agreement(row, view.settings.confidence)
            for row in view.agreements.get((newest.protocol, newest.series_version), ())
        ),
        current=worded[0],
        earlier=tuple(worded[1:]),
    )


def methods_page(source: SiteSource) -> MethodsPage:
    """The list of all protocols and floors."""
    view = source.view
    return MethodsPage(
        frame=frame_of(
            view.settings,
            urls.METHODS,
            say("Methods and floors"),
            say(
                "How each run at {bench} is made, and the floors it is made on.",
                bench=view.settings.name,
            ),
        ),
        methods=tuple(_method_line(view, series) for series in view.current_series),
        floors=tuple(_floor_line(view, floor) for floor in view.floors),
    )


def _version(view: View, version: typed.Protocol) -> MethodVersion:
    series = view.series[(version.protocol, version.series_version)]
    return MethodVersion(
        title=say("Version {version}", version=version.version),
        since=_since(version),
        continues=_continues(view, version),
        standing=Link(say("Standing"), urls.standing_url(series)),
        entries=parameters(view, version),
    )


def _since(version: typed.Protocol) -> str:
    since = figures.day(version.from_date)
    if not version.to_date:
        # For translators: of a version, beside its title.
        return say("from {day}", day=since)
    # For translators: of a version, beside its title.
    return say("from {first} until {last}", first=since, last=figures.day(version.to_date))


def _continues(view: View, version: typed.Protocol) -> str:
    earlier = [p for p in view.protocols if p.protocol == version.protocol]
    if version.version == min(p.version for p in earlier):
        return say("The first version.")
    if version.continues:
        return say("Results stay comparable with the version before.")
    return say("Results are not comparable with the version before: a series of its own.")


def _method_line(view: View, series: typed.Protocol) -> MethodLine:
    valid = sum(run.status == "valid" and run.protocol == series.protocol for run in view.runs)
    return MethodLine(
        method=Link(series.title, urls.method_url(series.protocol)),
        standing=Link(say("Standing"), urls.standing_url(series)),
        floor=floor_link(view, series),
        reading=terms.READINGS[series.reading],
        runs=figures.count(valid, "run", "runs"),
    )


def _floor_line(view: View, floor: typed.Floor) -> FloorLine:
    return FloorLine(
        floor=Link(floor.name, urls.floor_url(floor.floor)),
        covering=covering_words(floor),
        series=tuple(
            Link(series.title, urls.standing_url(series))
            for series in view.current_series
            if series.floor == floor.floor
        ),
    )


def versions_of(view: View) -> Sequence[Sequence[typed.Protocol]]:
    """The versions of each protocol, newest first, protocols in the order of their titles."""
    return tuple(grouped(view.protocols, lambda row: row.protocol).values())
