"""One line of a standing, as several kinds of page show it.

In:  a ``Standing`` and the view around it.
Out: a ``StandingLine`` in words, numerals, and two small drawings.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from trialpress.site import urls, wording
from trialpress.site.pages.filters import FilterKeys, filter_keys
from trialpress.site.relations import difference_words
from trialpress.site.strips import (
    PlaceStrip,
    Reach,
    StripScale,
    ValueScale,
    place_strip,
    reach,
    strip_scale,
    value_scale,
)
from trialpress.site.urls import SetupLink
from trialpress.view import Deferred, SeriesKey, View, results, terms, typed, verdicts
from trialpress.view.verdicts import Verdict
from trialpress.words import figures, say

FULL_ROWS = 50
"""So many lines of a ranking are drawn as it is written; those further down are numerals."""


@dataclass(frozen=True)
class StandingLine:
    """A set-up's place in one series. ``*_key`` are the figures that a column is sorted by.

    ``difference`` is that to the first, with its interval; None for the first itself. ``reach`` is
    the interval as it is drawn on ``values``, the scale of the series.
    """

    name: SetupLink
    keys: FilterKeys
    series_title: str
    series_url: str
    place: str
    place_key: int
    ranked: int
    of: str
    place_best: int
    place_worst: int
    places: str
    places_spoken: str
    strip: PlaceStrip
    scale: StripScale
    value: str
    value_key: str
    unit: str
    values: ValueScale
    reach: Reach
    interval: str | None
    why: str | None
    runs: str
    runs_key: int
    relation: Verdict
    difference: str | None
    top: Verdict
    marks: tuple[str, ...]
    flags: tuple[str, ...]


def lines_of_series(view: View) -> Mapping[SeriesKey, tuple[StandingLine, ...]]:
    """The whole standing of every series, in its order."""
    return Deferred({key: partial(_standing, view, one) for key, one in view.series.items()})


def _standing(view: View, series: typed.Protocol) -> tuple[StandingLine, ...]:
    standing = view.standings_of.get((series.protocol, series.version), ())
    if not standing:
        return ()
    scales = Scales(strip_scale(len(standing), view.settings.top_n), value_scale_of(standing))
    return tuple(_line(view, series, row, scales, standing[0].setup) for row in standing)


def value_scale_of(standing: Sequence[results.Standing | results.Overall]) -> ValueScale:
    """The scale of all intervals of a standing."""
    ends = [value for row in standing for value in (row.mean, row.low, row.high)]
    return value_scale(ends, standing[0].mean)


@dataclass(frozen=True)
class Scales:
    """What the drawings of one standing share."""

    places: StripScale
    values: ValueScale


def usual_label(labels: Sequence[str]) -> str:
    """The label that most set-ups of a table bear, said once above it; blank where none does."""
    label, bearers = Counter(labels).most_common(1)[0] if labels else ("", 0)
    return label if 2 * bearers > len(labels) else ""


def _line(
    view: View, series: typed.Protocol, row: results.Standing, scales: Scales, first: str
) -> StandingLine:
    ranked = len(view.standings_of[(row.protocol, row.version)])
    relation, difference = _to_first(view, row, first)
    return StandingLine(
        name=urls.setup_link(view, row.setup),
        keys=filter_keys(view, row.setup),
        series_title=series.name.full,
        series_url=urls.standing_url(series),
        place=str(row.place),
        place_key=row.place,
        ranked=ranked,
        # For translators: below a place, such as "2": how many set-ups have one.
        of=say("of {ranked}", ranked=ranked),
        place_best=row.place_best,
        place_worst=row.place_worst,
        places=figures.places(row.place_best, row.place_worst),
        places_spoken=wording.could_be(row.place_best, row.place_worst),
        strip=place_strip(scales.places, row.place, row.place_best, row.place_worst),
        scale=scales.places,
        value=figures.number(row.mean, row.decimals),
        value_key=f"{row.mean:.{row.decimals}f}",
        unit=row.unit,
        values=scales.values,
        reach=reach(scales.values, row.mean, row.low, row.high),
        interval=_interval(row),
        why=terms.WHY[row.why] if row.why else None,
        runs=figures.count(row.n, "run", "runs"),
        runs_key=row.n,
        relation=relation,
        difference=difference,
        top=verdicts.top_cut(row.top),
        marks=verdicts.marks_of(row),
        flags=_flags(view, row),
    )


def _to_first(view: View, row: results.Standing, first: str) -> tuple[Verdict, str | None]:
    """The verdict against the first, and the difference; the first itself has none."""
    if row.setup == first:
        return verdicts.relation(row.relation_to_first), None
    pair = view.comparisons(row.key).between(row.setup, first)
    verdict = verdicts.relation(
        row.relation_to_first,
        is_by_less_than_matters=pair.by_less_than_matters,
        could_matter=pair.could_matter,
    )
    return verdict, difference_words(pair, row.decimals)


def _interval(row: results.Standing) -> str | None:
    if row.low is None or row.high is None:
        return None
    return figures.interval(row.low, row.high, row.decimals)


def _flags(view: View, row: results.Standing) -> tuple[str, ...]:
    runs = [run for run in view.runs_of[row.key, row.setup] if run.status == "valid"]
    return verdicts.flag_counts([view.run_result[run.run].flags for run in runs])
