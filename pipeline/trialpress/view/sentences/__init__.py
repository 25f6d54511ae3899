"""What the analyses say, in words: one exact sentence each, for page and script.

In:  the rows of the analyses.
Out: ``Sentences``, by the keys of their rows. No sentence says more than its interval allows: the
     verdict is always the row's own, with the number of runs or machines and the interval beside.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any, TypeVar

from trialpress.analyses import top_cut
from trialpress.view import Deferred, SeriesKey, View
from trialpress.view.sentences import (
    associations,
    claims,
    cuts,
    groups,
    movements,
    setups,
    value,
)

__all__ = ["Sentences"]

Row = TypeVar("Row")


@dataclass(frozen=True)
class Sentences:
    """Every sentence, by what it is about, worded when it is first asked for.

    A series is (protocol, version); the overall has version 0.
    """

    view: View

    @cached_property
    def setup_deltas(self) -> Mapping[tuple[str, str, SeriesKey], str]:
        """By set-up, other set-up and series."""
        return {
            (r.setup, r.other, _series(r)): setups.setup_delta(r, self.view.names)
            for r in _each(self.view.analysed.deltas)
        }

    @cached_property
    def setup_pairs(self) -> Mapping[tuple[str, str], str]:
        """By set-up and other set-up."""
        deltas = self.view.analysed.deltas
        return {key: setups.setup_pair(rows, self.view.names) for key, rows in deltas.items()}

    @cached_property
    def maker_overviews(self) -> Mapping[tuple[str, SeriesKey], str]:
        """By maker and series."""
        top_n, names = self.view.settings.top_n, self.view.names
        return {
            (r.maker, _series(r)): groups.maker_overview(r, top_n, names)
            for r in self.view.maker_overview
        }

    @cached_property
    def makers(self) -> Mapping[tuple[str, SeriesKey], str]:
        """By maker and series, against the others."""
        return {
            (r.maker, _series(r)): groups.maker_against_field(r, self.view.names)
            for r in _each(self.view.analysed.fields)
        }

    @cached_property
    def associations(self) -> Mapping[tuple[str, SeriesKey], str]:
        """By factor and series."""
        return {
            (r.factor, _series(r)): associations.association(r, self.view.names)
            for r in _each(self.view.analysed.associations)
        }

    @cached_property
    def groups(self) -> Mapping[tuple[str, str, SeriesKey], str]:
        """By factor, group and series."""
        return {
            (r.factor, r.level, _series(r)): groups.association_group(r, self.view.names)
            for r in _each(self.view.analysed.groups)
        }

    @cached_property
    def claims(self) -> Mapping[str, str]:
        """By claim."""
        checks = _each(self.view.analysed.claims)
        return {r.claim: claims.claim_check(r, self.view.names) for r in checks}

    @cached_property
    def claim_tallies(self) -> Mapping[str, str]:
        """By quantity."""
        return {key: claims.tally(rows, key) for key, rows in self.view.analysed.claims.items()}

    @cached_property
    def claim_associations(self) -> Mapping[tuple[str, str, SeriesKey], str]:
        """By quantity, unit and series."""
        return {
            (r.quantity, r.unit, _series(r)): associations.claim_association(r, self.view.names)
            for r in _each(self.view.analysed.claim_associations)
        }

    @cached_property
    def air_powers(self) -> tuple[str, ...]:
        """In the order of the table."""
        return tuple(claims.air_power(r, self.view.names) for r in self.view.analysed.air_powers)

    @cached_property
    def values(self) -> Mapping[tuple[str, SeriesKey], str]:
        """By set-up and series."""
        return {
            (r.setup, _series(r)): value.value(r, self.view.names)
            for r in _each(self.view.analysed.values)
        }

    @cached_property
    def fronts(self) -> Mapping[SeriesKey, str]:
        """By series."""
        values = self.view.analysed.values
        return {key: value.front(rows, key, self.view.names) for key, rows in values.items()}

    @cached_property
    def top_cuts(self) -> Mapping[SeriesKey, Sequence[str]]:
        """By series; the cut of the published size, then who could swap."""
        standings = self.view.standings_of
        return Deferred({key: partial(_top_cut, self.view, key) for key in standings})

    @cached_property
    def spans(self) -> Mapping[str, str]:
        """By the date that movements are told since."""
        return {r.since.isoformat(): movements.span(r) for r in self.view.analysed.spans}

    @cached_property
    def movements(self) -> Mapping[tuple[str, str, SeriesKey], str]:
        """By that date, set-up and series."""
        return {
            (r.since.isoformat(), r.setup, _series(r)): movements.movement(r, self.view.names)
            for r in self.view.analysed.movements
        }


def _each(grouped: Mapping[Any, Sequence[Row]]) -> Iterator[Row]:
    return (row for rows in grouped.values() for row in rows)


def _top_cut(view: View, series: SeriesKey) -> Sequence[str]:
    """The published cut of a series, then who could swap."""
    first, decimals = view.settings.top_n, view.standings_of[series][0].decimals
    rows = top_cut(view.store, *series, first)
    return cuts.top_cut(rows, first, series, decimals, view.names), *cuts.swaps(rows, view.names)


def _series(row: Any) -> SeriesKey:  # noqa: ANN401 -- whatever row has a series
    return row.protocol, row.version
