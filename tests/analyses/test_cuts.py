"""Cuts of any size through any subset."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import duckdb
from hypothesis import given
from hypothesis import strategies as st

from charts.hand_filled import SETTINGS
from trialpress.analyses.cuts import Entrant, SeriesOrder, cut, top_cut
from trialpress.store import Store

HIGHER = SeriesOrder(higher_is_better=True, decimals=1)
LOWER = SeriesOrder(higher_is_better=False, decimals=1)
MEANS = st.lists(st.integers(0, 12).map(float), min_size=1, max_size=8)


def standing(means: list[float]) -> list[Entrant]:
    return [Entrant(f"s{i}", mean) for i, mean in enumerate(sorted(means, reverse=True))]


def apart(entrants: list[Entrant], least: float) -> set[tuple[str, str]]:
    return {(a.setup, b.setup) for a in entrants for b in entrants if a.mean - b.mean > least}


def test_who_is_outside_by_how_much_and_who_could_swap() -> None:
    entrants = standing([90.0, 88.0, 87.5, 80.0])

    first, second, third, last = cut(entrants, apart(entrants, 1.0), 2, HIGHER)

    assert (first.top, first.could_swap) == ("certain", ())
    assert (second.is_inside, second.gap_to_cut, second.could_swap) == (True, 0.0, ("s2",))
    assert (third.is_inside, third.gap_to_cut, third.could_swap) == (False, 0.5, ("s1",))
    assert (last.top, last.gap_to_cut, last.could_swap) == ("out", 8.0, ())


def test_lower_can_be_better() -> None:
    entrants = [Entrant("quiet", 60.0), Entrant("loud", 75.0)]

    quiet, loud = cut(entrants, set(), 1, LOWER)

    assert (quiet.place, loud.place, loud.gap_to_cut) == (1, 2, 15.0)


def test_a_tie_at_the_cut_is_inside_with_both() -> None:
    rows = cut(standing([9.0, 8.0, 8.0]), set(), 2, HIGHER)

    assert [row.is_inside for row in rows] == [True, True, True]


def test_a_cut_of_nothing_is_nothing() -> None:
    assert cut([], set(), 3, HIGHER) == ()


@given(MEANS, st.integers(1, 9), st.integers(0, 5))
def test_swapping_is_mutual_and_the_certain_never_swap(
    means: list[float], first: int, least: int
) -> None:
    entrants = standing(means)

    rows = {row.setup: row for row in cut(entrants, apart(entrants, least), first, HIGHER)}

    assert len(rows) == len(means)
    for row in rows.values():
        assert all(row.setup in rows[other].could_swap for other in row.could_swap)
        assert (row.gap_to_cut <= 0) == row.is_inside
        if row.top == "certain":
            assert row.is_inside
        if row.top == "out":
            assert not row.is_inside


@given(MEANS, st.integers(1, 4), st.integers(0, 5))
def test_a_subset_counts_no_pair_beyond_itself(means: list[float], first: int, least: int) -> None:
    entrants = standing(means)
    subset = entrants[::2]

    assert cut(subset, apart(entrants, least), first, HIGHER) == cut(
        subset, apart(subset, least), first, HIGHER
    )


def test_the_published_cut_is_the_cut_of_any_size_at_the_size_of_the_bench(
    built_demo: Path,
) -> None:
    """Two ways that share no line: places and ranges in SQL, pairs that the runs tell in Python."""
    with duckdb.connect(str(built_demo / "store.duckdb"), read_only=True) as connection:
        store = Store(connection, SETTINGS, date(2031, 3, 2), {})
        published = connection.execute(
            "select protocol, version, top_n, "
            "list((setup, place, cut_value, gap_to_cut, inside, top) order by place, setup) "
            "from top_cuts group by all"
        ).fetchall()
        worked_out = {
            (protocol, version): sorted(
                (
                    (r.setup, r.place, r.cut_value, r.gap_to_cut, r.is_inside, r.top)
                    for r in top_cut(store, protocol, version, top_n)
                ),
                key=lambda row: (row[1], row[0]),
            )
            for protocol, version, top_n, _ in published
        }

    assert len(published) > 5
    for protocol, version, _, rows in published:
        assert rows == worked_out[protocol, version]
