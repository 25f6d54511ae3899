"""The overall: one figure over the series that count for it, by ratio or in steps that matter.

In:  the overall as results decided it.
Out: ``OverallPage``; set-ups with a missing series stand apart, with what they miss.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialpress.charts import Chart
from trialpress.site import urls, wording
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.filters import FilterChoices, FilterKeys, filter_choices, filter_keys
from trialpress.site.pages.lines import FULL_ROWS, Scales, usual_label, value_scale_of
from trialpress.site.relations import OVERALL_VERDICTS
from trialpress.site.source import SiteSource
from trialpress.site.strips import PlaceStrip, Reach, StripScale, place_strip, reach, strip_scale
from trialpress.site.summaries import elsewhere_summary, overall_summary
from trialpress.site.urls import SetupLink
from trialpress.view import View, results, terms, verdicts
from trialpress.view.verdicts import Verdict
from trialpress.words import figures, say


@dataclass(frozen=True)
class Elsewhere:
    """The places a set-up could have on floors like these, at another bench of the kind."""

    places: str
    places_spoken: str
    strip: PlaceStrip


@dataclass(frozen=True)
class OverallLine:
    """A complete set-up's place over all series."""

    name: SetupLink
    keys: FilterKeys
    place: str
    place_key: int
    place_best: int
    place_worst: int
    places: str
    places_spoken: str
    strip: PlaceStrip
    scale: StripScale
    value: str
    value_key: str
    reach: Reach
    interval: str | None
    why: str | None
    top: Verdict
    marks: tuple[str, ...]
    elsewhere: Elsewhere | None
    is_last_in_cut: bool
    flags: tuple[str, ...] = ()


@dataclass(frozen=True)
class IncompleteRow:
    """A set-up without an overall place, and the series it misses."""

    name: SetupLink
    missing: str


@dataclass(frozen=True)
class Weight:
    """One series of the overall and the weight it has in it."""

    series: Link
    weight: str


@dataclass(frozen=True)
class Deciding:
    """How much one series decides; ``correlation`` is that of its scores with the overall."""

    series: Link
    share_of_weight: str
    share_of_variance: str
    correlation: str


@dataclass(frozen=True)
class OverallPage:
    """Everything the page of the overall shows."""

    template: ClassVar[str] = "pages/overall.html"
    full_rows: ClassVar[int] = FULL_ROWS
    verdicts: ClassVar[str] = OVERALL_VERDICTS
    frame: Frame
    in_steps: bool
    unit: str
    summary: tuple[str, ...]
    weights: tuple[Weight, ...]
    deciding: tuple[Deciding, ...]
    elsewhere: tuple[str, ...]
    has_elsewhere: bool
    chart: Chart | None
    choices: FilterChoices
    rows: tuple[OverallLine, ...]
    usual: str
    incomplete: tuple[IncompleteRow, ...]


def overall_page(source: SiteSource) -> OverallPage:
    """The page of the overall."""
    view, rows = source.view, _rows(source)
    return OverallPage(
        frame=frame_of(
            view.settings,
            urls.OVERALL,
            say("Overall"),
            _description(view),
        ),
        in_steps=view.is_overall_in_steps,
        unit=view.overall_unit,
        summary=overall_summary(rows, view.settings),
        weights=tuple(
            Weight(
                Link(series.title, urls.standing_url(series)),
                figures.typed_number(series.in_overall),
            )
            for series in view.current_series
            if series.in_overall > 0
        ),
        deciding=tuple(_deciding(view, row) for row in view.overall_shares),
        elsewhere=elsewhere_summary(view.overall_scopes),
        has_elsewhere=any(row.like_place is not None for row in view.overall),
        chart=source.charts.overall,
        choices=filter_choices(view, [row.setup for row in view.overall]),
        rows=rows,
        usual=usual_label([view.setup[row.setup].label for row in view.overall]),
        incomplete=tuple(
            IncompleteRow(urls.setup_link(view, row.setup), row.missing) for row in view.incomplete
        ),
    )


def _description(view: View) -> str:
    if view.is_overall_in_steps:
        return say(
            "The weighted mean over the protocols of this bench, in steps that matter, for set-ups "
            "that were run under all of them."
        )
    return say(
        "The weighted geometric mean over the floors of this bench, for set-ups that were "
        "run on all of them."
    )


def _deciding(view: View, row: results.OverallShare) -> Deciding:
    series = view.series[row.protocol, row.version]
    return Deciding(
        series=Link(series.title, urls.standing_url(series)),
        share_of_weight=_share(row.share_of_weight),
        share_of_variance=_share(row.share_of_variance),
        correlation="" if row.correlation is None else figures.signed(row.correlation, 2),
    )


def _share(share: float | None) -> str:
    return "" if share is None else figures.with_unit(figures.number(100 * share, 0), "%")


def _rows(source: SiteSource) -> tuple[OverallLine, ...]:
    placed, top_n = source.view.overall, source.view.settings.top_n
    if not placed:
        return ()
    scales = Scales(strip_scale(len(placed), top_n), value_scale_of(placed))
    inside = [row for row in placed if row.place <= top_n]
    last = inside[-1] if inside and len(inside) < len(placed) else None
    return tuple(_row(source, row, scales, is_last_in_cut=row is last) for row in placed)


def _row(
    source: SiteSource, row: results.Overall, scales: Scales, *, is_last_in_cut: bool
) -> OverallLine:
    return OverallLine(
        name=urls.setup_link(source.view, row.setup),
        keys=filter_keys(source.view, row.setup),
        place=str(row.place),
        place_key=row.place,
        place_best=row.place_best,
        place_worst=row.place_worst,
        places=figures.places(row.place_best, row.place_worst),
        places_spoken=wording.could_be(row.place_best, row.place_worst),
        strip=place_strip(scales.places, row.place, row.place_best, row.place_worst),
        scale=scales.places,
        value=figures.number(row.mean, row.decimals),
        value_key=f"{row.mean:.{row.decimals}f}",
        reach=reach(scales.values, row.mean, row.low, row.high),
        interval=_interval(row),
        why=terms.WHY[row.why] if row.why else None,
        top=verdicts.top_cut(row.top),
        marks=verdicts.marks_of(row),
        elsewhere=_elsewhere(row, scales.places),
        is_last_in_cut=is_last_in_cut,
    )


def _elsewhere(row: results.Overall, scale: StripScale) -> Elsewhere | None:
    if row.like_place is None or row.like_best is None or row.like_worst is None:
        return None
    return Elsewhere(
        places=figures.places(row.like_best, row.like_worst),
        places_spoken=wording.could_be(row.like_best, row.like_worst),
        strip=place_strip(scale, row.like_place, row.like_best, row.like_worst),
    )


def _interval(row: results.Overall) -> str | None:
    if row.low is None or row.high is None:
        return None
    return figures.interval(row.low, row.high, row.decimals)
