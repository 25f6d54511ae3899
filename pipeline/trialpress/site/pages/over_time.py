"""A maker's machines in the order they were released, each against the one before.

In:  the standings and comparisons of the current series, and release dates.
Out: ``OverTime``, one a series in which two or more dated machines stand.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trialpress.site import urls
from trialpress.site.frame import Link
from trialpress.site.pages.lines import StandingLine
from trialpress.site.source import SiteSource
from trialpress.site.urls import SetupLink
from trialpress.view import SeriesKey, View, verdicts
from trialpress.view.verdicts import Verdict
from trialpress.words import figures, say


@dataclass(frozen=True)
class ReleasedMachine:
    """One machine of a maker in a series; ``relation`` is towards the release before it."""

    released: str
    name: SetupLink
    value: str
    interval: str
    relation: Verdict | None


@dataclass(frozen=True)
class OverTime:
    """A maker's machines in one series, oldest release first."""

    series: Link
    unit: str
    releases: tuple[ReleasedMachine, ...]


def over_time(source: SiteSource, maker: str) -> Iterator[OverTime]:
    """One maker over time, in every current series that can tell of it."""
    for series in source.view.current_series:
        key = (series.protocol, series.version)
        lines = _by_release(source, key, maker)
        if len(lines) > 1:
            before = (None, *lines)
            yield OverTime(
                series=Link(series.title, urls.standing_url(series)),
                unit=series.unit,
                releases=tuple(
                    _release(source.view, key, line, earlier)
                    for line, earlier in zip(lines, before, strict=False)
                ),
            )


def _by_release(source: SiteSource, key: SeriesKey, maker: str) -> Sequence[StandingLine]:
    """A line for each machine with a release date: that as unboxed, or else its first by place."""
    view = source.view
    lines = sorted(source.lines[key], key=lambda line: not view.setup[line.name.setup].stock)
    of_machine: dict[str, StandingLine] = {}
    for line in lines:
        machine = view.machine[view.setup[line.name.setup].machine]
        if machine.maker == maker and machine.released:
            of_machine.setdefault(machine.machine, line)
    dated = [(view.machine[machine].released, machine) for machine in of_machine]
    return [of_machine[machine] for _, machine in sorted(dated, key=str)]


def _release(
    view: View, key: SeriesKey, line: StandingLine, before: StandingLine | None
) -> ReleasedMachine:
    released = view.machine[view.setup[line.name.setup].machine].released
    return ReleasedMachine(
        released=figures.day(released) if released else "",
        name=line.name,
        value=line.value,
        interval=line.interval or line.why or say("no interval"),
        relation=_relation(view, key, line, before) if before else None,
    )


def _relation(view: View, key: SeriesKey, line: StandingLine, before: StandingLine) -> Verdict:
    pair = view.comparisons(key).between(line.name.setup, before.name.setup)
    return verdicts.relation(
        pair.relation,
        is_by_less_than_matters=pair.by_less_than_matters,
        could_matter=pair.could_matter,
    )
