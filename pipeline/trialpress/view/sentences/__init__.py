"""What the analyses say, in words: one exact sentence each, for page and script.

In:  the rows of the analyses.
Out: ``Sentences``, by the keys of their rows. No sentence says more than its interval allows: the
     verdict is always the row's own, with the number of runs or machines and the interval beside.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from trialpress.analyses import top_cut
from trialpress.view import View
from trialpress.view.names import SeriesKey
from trialpress.view.sentences import (
    associations,
    claims,
    cuts,
    groups,
    movements,
    setups,
    value,
)

__all__ = ["Sentences", "word_analyses"]

Row = TypeVar("Row")


@dataclass(frozen=True)
class Sentences:
    """Every sentence, by what it is about; a series is (protocol, version), overall has version 0.

    Attributes
    ----------
    setup_deltas : (set-up, other, series)
    setup_pairs : (set-up, other)
    maker_overviews, makers : (maker, series)
    associations : (factor, series)
    groups : (factor, group, series)
    claims : claim
    claim_tallies : quantity
    claim_associations : (quantity, unit, series)
    air_powers : in the order of the table
    values : (set-up, series)
    fronts : series
    top_cuts : series; the cut of the published size, then who could swap
    spans : since
    movements : (since, set-up, series)
    """

    setup_deltas: Mapping[tuple[str, str, SeriesKey], str]
    setup_pairs: Mapping[tuple[str, str], str]
    maker_overviews: Mapping[tuple[str, SeriesKey], str]
    makers: Mapping[tuple[str, SeriesKey], str]
    associations: Mapping[tuple[str, SeriesKey], str]
    groups: Mapping[tuple[str, str, SeriesKey], str]
    claims: Mapping[str, str]
    claim_tallies: Mapping[str, str]
    claim_associations: Mapping[tuple[str, str, SeriesKey], str]
    air_powers: tuple[str, ...]
    values: Mapping[tuple[str, SeriesKey], str]
    fronts: Mapping[SeriesKey, str]
    top_cuts: Mapping[SeriesKey, Sequence[str]]
    spans: Mapping[str, str]
    movements: Mapping[tuple[str, str, SeriesKey], str]


def word_analyses(view: View) -> Sentences:
    """Word every analysis."""
    names, analysed, top_n = view.names, view.analysed, view.settings.top_n
    overviews = view.maker_overview
    return Sentences(
        setup_deltas={
            (r.setup, r.other, _series(r)): setups.setup_delta(r, names)
            for r in _each(analysed.deltas)
        },
        setup_pairs={key: setups.setup_pair(rows, names) for key, rows in analysed.deltas.items()},
        maker_overviews={
            (r.maker, _series(r)): groups.maker_overview(r, top_n, names) for r in overviews
        },
        makers={
            (r.maker, _series(r)): groups.maker_against_field(r, names)
            for r in _each(analysed.fields)
        },
        associations={
            (r.factor, _series(r)): associations.association(r, names)
            for r in _each(analysed.associations)
        },
        groups={
            (r.factor, r.level, _series(r)): groups.association_group(r, names)
            for r in _each(analysed.groups)
        },
        claims={r.claim: claims.claim_check(r, names) for r in _each(analysed.claims)},
        claim_tallies={key: claims.tally(rows, key) for key, rows in analysed.claims.items()},
        claim_associations={
            (r.quantity, r.unit, _series(r)): associations.claim_association(r, names)
            for r in _each(analysed.claim_associations)
        },
        air_powers=tuple(claims.air_power(r, names) for r in analysed.air_powers),
        values={(r.setup, _series(r)): value.value(r, names) for r in _each(analysed.values)},
        fronts={key: value.front(rows, key, names) for key, rows in analysed.values.items()},
        top_cuts={key: _top_cut(view, key) for key in view.standings_of},
        spans={r.since.isoformat(): movements.span(r) for r in analysed.spans},
        movements={
            (r.since.isoformat(), r.setup, _series(r)): movements.movement(r, names)
            for r in analysed.movements
        },
    )


def _each(grouped: Mapping[Any, Sequence[Row]]) -> Iterator[Row]:
    return (row for rows in grouped.values() for row in rows)


def _top_cut(view: View, series: SeriesKey) -> Sequence[str]:
    """The published cut of a series, then who could swap."""
    first, decimals = view.settings.top_n, view.standings_of[series][0].decimals
    rows = top_cut(view.store, *series, first)
    return cuts.top_cut(rows, first, series, decimals, view.names), *cuts.swaps(rows, view.names)


def _series(row: Any) -> SeriesKey:  # noqa: ANN401 -- whatever row has a series
    return row.protocol, row.version
