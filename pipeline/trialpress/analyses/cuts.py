"""The first N of any set-ups of one series, and who is in doubt about it.

In:  standings of one series, and the pairs that the runs tell apart; any N, any subset.
Out: ``CutRow`` records for all of the subset, first to last, however far below the cut.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from trialpress.results.places import places_of, top_of
from trialpress.results.rounding import half_even
from trialpress.store import Store

Pairs = Collection[tuple[str, str]]


@dataclass(frozen=True)
class Entrant:
    """A set-up with its mean in one series."""

    setup: str
    mean: float


@dataclass(frozen=True)
class CutRow:
    """A set-up against the cut after the first N of the subset.

    ``gap_to_cut`` is what is missing to the last one inside, below 0 inside the cut itself;
    ``could_swap`` names those on the other side of the cut that the runs do not tell apart from it.
    """

    setup: str
    place: int
    mean: float
    cut_value: float
    gap_to_cut: float
    is_inside: bool
    top: str
    could_swap: tuple[str, ...]


@dataclass(frozen=True)
class SeriesOrder:
    """Which way a series runs, and its published decimals."""

    higher_is_better: bool
    decimals: int


def cut(
    entrants: Sequence[Entrant], better: Pairs, first: int, order: SeriesOrder
) -> tuple[CutRow, ...]:
    """Cut a subset of a series after its first places.

    Parameters
    ----------
    entrants : sequence of Entrant
        The subset, in the order of the standing.
    better : collection of (set-up, other)
        Pairs of which the runs tell that the first is better; those outside the subset count for
        nothing.
    first : int
        N, at least 1.
    order : SeriesOrder
        Of the series.

    Returns
    -------
    tuple of CutRow
        All entrants. Ties share a place, so that more than N may be inside.
    """
    if not entrants:
        return ()
    names = [entrant.setup for entrant in entrants]
    means = np.array([entrant.mean for entrant in entrants])
    places = places_of(means, higher_is_better=order.higher_is_better).tolist()
    inside = [place <= first for place in places]
    cut_value = [entrant.mean for entrant, is_in in zip(entrants, inside, strict=True) if is_in][-1]
    pairs = set(better)
    rows = zip(entrants, places, inside, strict=True)
    return tuple(
        CutRow(
            setup=entrant.setup,
            place=place,
            mean=entrant.mean,
            cut_value=cut_value,
            gap_to_cut=_gap(entrant.mean, cut_value, order),
            is_inside=is_in,
            top=_top(entrant.setup, names, pairs, first),
            could_swap=tuple(
                other
                for other, other_is_in in zip(names, inside, strict=True)
                if other_is_in is not is_in
                and ((entrant.setup, other) if is_in else (other, entrant.setup)) not in pairs
            ),
        )
        for entrant, place, is_in in rows
    )


def _gap(mean: float, cut_value: float, order: SeriesOrder) -> float:
    missing = cut_value - mean if order.higher_is_better else mean - cut_value
    return half_even(missing, order.decimals)


def _top(setup: str, names: Sequence[str], pairs: set[tuple[str, str]], first: int) -> str:
    best = 1 + sum((other, setup) in pairs for other in names)
    worst = len(names) - sum((setup, other) in pairs for other in names)
    return top_of(best, worst, first).value


def top_cut(
    store: Store,
    protocol: str,
    version: int,
    first: int,
    only: Collection[str] | None = None,
) -> tuple[CutRow, ...]:
    """Cut one series of the store after its first places; ``only`` these set-ups, or all."""
    series = [protocol, version]
    entrants = store.records(
        Entrant,
        "select setup, mean from standings where protocol = $1 and version = $2 order by position",
        series,
    )
    pairs = store.rows(
        "select setup, other from comparisons "
        "where protocol = $1 and version = $2 and relation = 'better'",
        series,
    )
    (order,) = store.records(
        SeriesOrder,
        "select p.better = 'higher' as higher_is_better, any_value(s.decimals) as decimals "
        "from series as p inner join standings as s using (protocol, version) "
        "where p.protocol = $1 and p.version = $2 group by p.better",
        series,
    )
    chosen = [entrant for entrant in entrants if only is None or entrant.setup in only]
    return cut(chosen, set(pairs), first, order)
