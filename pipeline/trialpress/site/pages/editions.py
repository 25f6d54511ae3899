"""Editions: the series of them, each by itself, and what each froze.

In:  the editions of the bench by the date of the build, each read from its own zip.
Out: ``EditionsPage``, ``EditionPage`` and, of each edition, a ``FrozenPage`` a standing and a
     machine, so that an old link goes on showing what it showed; ``now`` for the script that tells
     what has changed since.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

from trialpress.bench import Settings
from trialpress.charts.chart import Json
from trialpress.editions import Edition
from trialpress.site import urls
from trialpress.site.data_scripts import DataScript
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.frozen import FrozenEdition, FrozenStanding
from trialpress.site.methods import method_html
from trialpress.site.source import SiteSource
from trialpress.store import grouped
from trialpress.view import SeriesKey, View, verdicts
from trialpress.view.verdicts import Verdict
from trialpress.words import figures, say


@dataclass(frozen=True)
class EditionLine:
    """One edition among the others."""

    version: str
    as_of: str
    page: Link
    archive: Link
    size: str
    sum: str
    program: str
    is_latest: bool


@dataclass(frozen=True)
class EditionsPage:
    """The series of editions, the newest first."""

    template: ClassVar[str] = "pages/editions.html"
    frame: Frame
    lines: tuple[EditionLine, ...]


@dataclass(frozen=True)
class EditionPage:
    """One edition: what changed, how to cite it, and what it froze."""

    template: ClassVar[str] = "pages/edition.html"
    frame: Frame
    line: EditionLine
    changes: Markup
    citation: str
    standings: tuple[Link, ...]
    machines: tuple[Link, ...]


@dataclass(frozen=True)
class FrozenLine:
    """One line as it was; ``key`` is what the script looks for in what stands now."""

    key: str
    words: str
    label: str
    place: str
    places: str
    value: str
    unit: str
    interval: str
    runs: str
    top: Verdict


@dataclass(frozen=True)
class FrozenPage:
    """A standing or a machine as of an edition; ``now`` leads to what stands today."""

    template: ClassVar[str] = "pages/frozen.html"
    frame: Frame
    heading: str
    edition: EditionLine
    lines: tuple[FrozenLine, ...]
    about: str
    now: Link


def edition_pages(source: SiteSource) -> Iterator[EditionsPage | EditionPage | FrozenPage]:
    """Every page of every edition."""
    view, editions = source.view, source.editions
    lines = [_line(one, is_latest=one is editions[-1]) for one in editions]
    yield EditionsPage(
        frame=frame_of(
            view.settings,
            urls.EDITIONS,
            say("Editions"),
            say("Every frozen release of the data, to cite and to recompute."),
            under=urls.DATA,
        ),
        lines=tuple(reversed(lines)),
    )
    for frozen, line in zip(editions, lines, strict=True):
        yield _edition_page(view, frozen, line)
        series = grouped(frozen.standings, lambda row: row.slug)
        yield from (_standing_page(view, line, rows) for rows in series.values())
        machines = grouped(frozen.standings, lambda row: row.machine)
        yield from (_machine_page(view, line, rows) for rows in machines.values())


def now_script(view: View) -> DataScript:
    """What stands now, by the keys of frozen lines: place, mean and unit.

    A version that later ones continue leads to the line of the newest; ``past`` are versions whose
    series has given way to another.
    """
    lines: dict[tuple[SeriesKey, str], list[Json]] = {
        (row.key, row.setup): [row.place, figures.number(row.mean, row.decimals), row.unit]
        for rows in view.standings_of.values()
        for row in rows
    }
    now: dict[str, Json] = {
        f"{version.protocol}|{version.version}|{setup}": line
        for version in view.protocols
        for (key, setup), line in lines.items()
        if key == (version.protocol, version.series_version)
    }
    past = [f"{one.protocol}|{one.version}" for one in view.protocols if not one.is_current]
    return DataScript("now", {"lines": now, "past": [*past]})


def _line(frozen: FrozenEdition, *, is_latest: bool) -> EditionLine:
    edition = frozen.edition
    version = str(edition.version)
    return EditionLine(
        version=version,
        as_of=figures.day(edition.as_of),
        page=Link(say("Edition {version}", version=version), urls.edition_url(version)),
        archive=Link(f"{version}.zip", urls.download_url(edition.archive)),
        size=figures.file_size(edition.size_bytes),
        sum=edition.sum,
        program=edition.program,
        is_latest=is_latest,
    )


def _edition_page(view: View, frozen: FrozenEdition, line: EditionLine) -> EditionPage:
    settings, rows = view.settings, frozen.standings
    standings = {row.slug: row.title for row in rows}
    machines = {row.machine: f"{row.maker_name} {row.machine_name}" for row in rows}
    return EditionPage(
        frame=frame_of(
            settings,
            line.page.url,
            line.page.words,
            say("The data as of {day}, frozen: what changed, and what stood then.", day=line.as_of),
            under=urls.DATA,
        ),
        line=line,
        changes=method_html(frozen.changes),
        citation=edition_citation(settings, frozen.edition),
        standings=tuple(
            Link(title, urls.frozen_standing_url(line.version, slug))
            for slug, title in standings.items()
        ),
        machines=tuple(
            Link(name, urls.frozen_machine_url(line.version, machine))
            for machine, name in sorted(machines.items(), key=lambda one: (one[1], one[0]))
        ),
    )


def edition_citation(settings: Settings, edition: Edition) -> str:
    """How to cite an edition."""
    version = str(edition.version)
    return say(
        "{bench}. Cleaning trials: readings and results. Edition {version}, {day}. {address}",
        bench=settings.name,
        version=version,
        day=figures.day(edition.as_of),
        address=settings.base_url + urls.edition_url(version),
    )


def _standing_page(view: View, edition: EditionLine, rows: Sequence[FrozenStanding]) -> FrozenPage:
    first = rows[0]
    title = f"{first.title}: {edition.page.words}"
    url = urls.frozen_standing_url(edition.version, first.slug)
    return FrozenPage(
        frame=_frame(view, url, title, edition),
        heading=first.title,
        edition=edition,
        lines=tuple(
            _frozen(row, f"{row.maker_name} {row.machine_name}", row.label) for row in rows
        ),
        about=say("Set-up"),
        now=Link(say("The standing now"), f"standings/{first.slug}.html"),
    )


def _machine_page(view: View, edition: EditionLine, rows: Sequence[FrozenStanding]) -> FrozenPage:
    first = rows[0]
    name = f"{first.maker_name} {first.machine_name}"
    url = urls.frozen_machine_url(edition.version, first.machine)
    return FrozenPage(
        frame=_frame(view, url, f"{name}: {edition.page.words}", edition),
        heading=name,
        edition=edition,
        lines=tuple(_frozen(row, row.title, row.label) for row in rows),
        about=say("Standing"),
        now=Link(say("The machine now"), urls.machine_url(first.machine)),
    )


def _frame(view: View, url: str, title: str, edition: EditionLine) -> Frame:
    description = say(
        "What stood on {day}, in the edition {version} of the data. This page does not change.",
        day=edition.as_of,
        version=edition.version,
    )
    return frame_of(view.settings, url, title, description, under=urls.DATA)


def _frozen(row: FrozenStanding, words: str, label: str) -> FrozenLine:
    return FrozenLine(
        key=row.key,
        words=words,
        label=label,
        place=str(row.place),
        places=figures.places(row.place_best, row.place_worst),
        value=row.value,
        unit=row.unit,
        interval=row.interval,
        runs=str(row.n),
        top=verdicts.top_cut(row.top),
    )
