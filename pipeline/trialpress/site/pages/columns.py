"""Set-ups side by side: a ruler for every series, and a column for every set-up.

In:  the standings in words, the overall, machines and claims.
Out: ``Ruler`` and ``BesideColumn``, for the page as it is written, and as data for its script.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass

from trialpress.charts.chart import LineMarks, RulerMarks
from trialpress.charts.strips import Scale, line_marks, ruler_marks
from trialpress.site import urls, wording
from trialpress.site.data_scripts import DataScript
from trialpress.site.pages.claims import spoken
from trialpress.site.pages.lines import StandingLine, value_scale_of
from trialpress.site.pages.machine import no_place, price_words
from trialpress.site.pages.runs import as_typed
from trialpress.site.relations import series_name
from trialpress.site.source import SiteSource
from trialpress.site.strips import ValueScale
from trialpress.site.urls import SetupLink
from trialpress.view import SeriesKey, View, results, terms, typed, verdicts
from trialpress.view.terms import kind_name
from trialpress.words import figures, say, say_as

RULERS = "rulers"
OVERALL = ""
"""The row of the overall among those of the series, none of which has an empty name."""


@dataclass(frozen=True)
class Ruler:
    """One row: a series, or the overall, and the scale on which all set-ups are drawn."""

    name: str
    title: str
    url: str
    unit: str
    marks: RulerMarks


@dataclass(frozen=True)
class BesideCell:
    """One set-up in one row.

    ``at`` is its position in the standing; ``note`` says why there is no value, and all else is
    then blank.
    """

    at: int = 0
    value: str = ""
    interval: str = ""
    place: str = ""
    places: str = ""
    could: str = ""
    under: str = ""
    marks: LineMarks | None = None
    note: str = ""


@dataclass(frozen=True)
class BesideColumn:
    """One set-up; ``top`` and ``about`` have the same lines for every set-up, blank if unknown."""

    name: SetupLink
    top: tuple[tuple[str, str], ...]
    about: tuple[tuple[str, str], ...]
    claims: tuple[str, ...]
    cells: Mapping[str, BesideCell]


def rulers_of(source: SiteSource) -> tuple[Ruler, ...]:
    """The series that count, in their order, and the overall where there is one."""
    view = source.view
    return tuple(_rulers(source, view))


def _rulers(source: SiteSource, view: View) -> Iterator[Ruler]:
    for series in view.current_series:
        lines = source.lines[series.key]
        if lines:
            yield Ruler(
                series_name(series),
                series.title,
                urls.standing_url(series),
                f"{series.unit}, {verdicts.better_way(series.better)}",
                _marks(lines[0].values, [row.mean for row in view.standings_of[series.key]]),
            )
    if view.overall:
        scale = value_scale_of(view.overall)
        yield Ruler(
            OVERALL,
            say("Overall"),
            urls.OVERALL,
            say("{unit}, no differences are worked out", unit=view.overall_unit),
            _marks(scale, [row.mean for row in view.overall]),
        )


def _marks(scale: ValueScale, means: Sequence[float]) -> RulerMarks:
    return ruler_marks(Scale(scale.low, scale.high), means)


def columns_of(source: SiteSource) -> Mapping[str, BesideColumn]:
    """Every set-up, by its slug."""
    view = source.view
    lines = {
        (series.key, line.name.setup): (at, line)
        for series in view.current_series
        for at, line in enumerate(source.lines[series.key])
    }
    setups = sorted(view.setups, key=lambda row: row.setup)
    overall = _overall_cells(view)
    return {one.setup: _column(view, one, lines, overall) for one in setups}


def column_scripts(source: SiteSource) -> Iterator[DataScript]:
    """The rulers in one file, and every column in a file of its own."""
    yield DataScript(RULERS, [asdict(ruler) for ruler in rulers_of(source)])
    for setup, column in columns_of(source).items():
        yield DataScript(f"setups/{setup}", asdict(column))


def _column(
    view: View,
    setup: typed.Setup,
    lines: Mapping[tuple[SeriesKey, str], tuple[int, StandingLine]],
    overall: Mapping[str, BesideCell],
) -> BesideColumn:
    machine = view.machine[setup.machine]
    cells = {
        series_name(series): _cell(view, series.key, *lines[series.key, setup.setup])
        for series in view.current_series
        if (series.key, setup.setup) in lines
    }
    if setup.setup in overall:
        cells[OVERALL] = overall[setup.setup]
    return BesideColumn(
        name=urls.setup_link(view, setup.setup),
        top=((say("Price"), price_words(machine)), (say("Kind"), kind_name(machine.kind))),
        about=(
            (say("Head"), machine.head or ""),
            (say("How it came here"), terms.ACQUIRED[machine.acquired]),
            (say("Specimen"), setup.specimen or ""),
            (say("As unboxed"), say("yes") if setup.stock else say("no")),
            (say("Brushes"), setup.brushes or ""),
            (say("Mode"), setup.mode or ""),
        ),
        claims=tuple(
            f"{spoken(claim.quantity)}: {figures.with_unit(as_typed(claim.value), claim.unit)} "
            f"({claim.source}, {figures.day(claim.stated_on)})"
            for claim in view.claims
            if claim.machine == setup.machine
        ),
        cells=cells,
    )


def _cell(view: View, key: SeriesKey, at: int, line: StandingLine) -> BesideCell:
    row = view.standings_of[key][at]
    scale = Scale(line.values.low, line.values.high)
    return BesideCell(
        at=at,
        value=line.value,
        interval=line.interval or line.why or say("no interval"),
        place=_place(line.place_key, line.ranked),
        places=line.places,
        could=_could(line.places_spoken),
        under="; ".join((*line.marks, line.runs)),
        marks=line_marks(scale, row.mean, row.low, row.high, is_dashed=bool(line.marks)),
    )


def _overall_cells(view: View) -> Mapping[str, BesideCell]:
    """The set-ups with a place, and those of which is said why they have none."""
    missing = {row.setup: BesideCell(note=no_place(row.missing)) for row in view.incomplete}
    if not view.overall:
        return missing
    drawn = value_scale_of(view.overall)
    scale = Scale(drawn.low, drawn.high)
    return missing | {
        row.setup: _overall_cell(at, row, len(view.overall), scale)
        for at, row in enumerate(view.overall)
    }


def _overall_cell(at: int, row: results.Overall, ranked: int, scale: Scale) -> BesideCell:
    has_interval = row.low is not None and row.high is not None
    return BesideCell(
        at=at,
        value=figures.number(row.mean, row.decimals),
        interval=figures.interval(row.low or 0.0, row.high or 0.0, row.decimals)
        if has_interval
        else (terms.WHY[row.why] if row.why else "") or say("no interval"),
        place=_place(row.place, ranked),
        places=figures.places(row.place_best, row.place_worst),
        could=_could(wording.could_be(row.place_best, row.place_worst)),
        under="; ".join(verdicts.marks_of(row)),
        marks=line_marks(
            scale, row.mean, row.low, row.high, is_dashed=bool(verdicts.marks_of(row))
        ),
    )


def _place(place: int, ranked: int) -> str:
    # For translators: {place} is such as "2nd".
    return say("{place} of {ranked}", place=figures.ordinal(place), ranked=ranked)


def _could(places: str) -> str:
    return say_as("anywhere from 4th to 9th", "could be {places}", places=places)
