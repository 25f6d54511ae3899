"""What the analyses say, in words: one exact sentence each, for page and script.

In:  the tables of the analyses.
Out: ``Sentences``, by the keys of their rows. No sentence says more than its interval allows: the
     verdict is always the row's own, with the number of runs or machines and the interval beside.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from trialpress.analyses import records as rows
from trialpress.analyses import top_cut
from trialpress.analyses.reading import read_rows
from trialpress.sentences import associations, claims, cuts, groups, movements, setups, value
from trialpress.sentences.names import PACKAGE, Names, SeriesKey, read_names
from trialpress.store import Store, read_sql

__all__ = ["Names", "Sentences", "cuts", "read_names", "word_analyses"]


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


def word_analyses(store: Store) -> Sentences:
    """Word every analysis of the store."""
    names = read_names(store)
    deltas = read_rows(store, rows.SetupDeltaRow, "setup_deltas")
    pairs = groupby(deltas, key=lambda row: (row.setup, row.other))
    overviews = store.records(groups.Overview, read_sql(PACKAGE, "queries/overviews.sql"))
    makers = read_rows(store, rows.MakerFieldRow, "maker_against_field")
    factors = read_rows(store, rows.AssociationRow, "associations")
    levels = read_rows(store, rows.AssociationGroupRow, "association_groups")
    checks = read_rows(store, rows.ClaimCheckRow, "claim_checks")
    stated = read_rows(store, rows.ClaimAssociationRow, "claim_associations")
    powers = read_rows(store, rows.AirPowerRow, "air_powers")
    priced = read_rows(store, rows.ValueRow, "value_front")
    spans = read_rows(store, rows.SpanRow, "movement_spans")
    moved = read_rows(store, rows.MovementRow, "movements")
    return Sentences(
        setup_deltas={(r.setup, r.other, _series(r)): setups.setup_delta(r, names) for r in deltas},
        setup_pairs={key: setups.setup_pair(list(group), names) for key, group in pairs},
        maker_overviews={(r.maker, _series(r)): groups.maker_overview(r, names) for r in overviews},
        makers={(r.maker, _series(r)): groups.maker_against_field(r, names) for r in makers},
        associations={(r.factor, _series(r)): associations.association(r, names) for r in factors},
        groups={
            (r.factor, r.level, _series(r)): groups.association_group(r, names) for r in levels
        },
        claims={r.claim: claims.claim_check(r, names) for r in checks},
        claim_tallies=_tallies(checks),
        claim_associations={
            (r.quantity, r.unit, _series(r)): associations.claim_association(r, names)
            for r in stated
        },
        air_powers=tuple(claims.air_power(r, names) for r in powers),
        values={(r.setup, _series(r)): value.value(r, names) for r in priced},
        fronts={
            key: value.front(list(group), key, names) for key, group in groupby(priced, key=_series)
        },
        top_cuts=_top_cuts(store, names),
        spans={r.since.isoformat(): movements.span(r) for r in spans},
        movements={
            (r.since.isoformat(), r.setup, _series(r)): movements.movement(r, names) for r in moved
        },
    )


def _tallies(checks: Sequence[rows.ClaimCheckRow]) -> Mapping[str, str]:
    quantities = sorted({row.quantity for row in checks})
    return {
        one: claims.tally([row for row in checks if row.quantity == one], one) for one in quantities
    }


def _top_cuts(store: Store, names: Names) -> Mapping[SeriesKey, Sequence[str]]:
    """The published cut of every series with a standing, then who could swap."""
    found = store.connection.execute(
        "select protocol, version, any_value(decimals) from standings group by all order by all"
    )
    decimals = {(protocol, version): digits for protocol, version, digits in found.fetchall()}
    first = store.settings.top_n
    cut = {key: top_cut(store, *key, first) for key in decimals}
    return {
        key: (cuts.top_cut(rows, first, key, decimals[key], names), *cuts.swaps(rows, names))
        for key, rows in cut.items()
    }


def _series(row: Any) -> SeriesKey:  # noqa: ANN401 -- whatever row has a series
    return row.protocol, row.version
