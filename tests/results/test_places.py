"""Places, ranges of places and the top cut."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.results.places import Top, place_range, places_of, top_of
from trialpress.results.separation import (
    critical_values,
    independent_errors,
    simultaneous_differences,
)

some_df = st.sampled_from([2, 6, 16, 60])
means = st.lists(st.floats(0, 100), min_size=2, max_size=9)


def test_equal_values_share_a_place_and_the_next_counts_on() -> None:
    places = places_of(np.array([80.0, 90.0, 90.0, 70.0]), higher_is_better=True)

    assert places.tolist() == [3, 1, 1, 4]


def test_lower_values_come_first_where_lower_is_better() -> None:
    assert places_of(np.array([62.0, 58.0]), higher_is_better=False).tolist() == [2, 1]


@pytest.mark.parametrize(
    ("best", "worst", "top"),
    [(1, 3, Top.CERTAIN), (3, 4, Top.POSSIBLE), (4, 9, Top.OUT), (1, 9, Top.POSSIBLE)],
)
def test_top_is_read_off_the_range_of_places(best: int, worst: int, top: Top) -> None:
    assert top_of(best, worst, 3) is top


@given(values=means, df=some_df, shuffle=st.randoms(use_true_random=False))
def test_ranges_do_not_depend_on_the_order_of_rows(
    values: list[float], df: int, shuffle: object
) -> None:
    order = list(range(len(values)))
    shuffle.shuffle(order)  # type: ignore[attr-defined]
    array, errors = np.array(values), uneven(len(values))

    best, worst = ranges(array, errors, df)
    moved_best, moved_worst = ranges(array[order], errors[order], df)

    assert moved_best.tolist() == best[order].tolist()
    assert moved_worst.tolist() == worst[order].tolist()


@given(values=means, df=some_df, scale=st.sampled_from([0.5, 2.0, 1024.0]))
def test_ranges_do_not_depend_on_the_unit(values: list[float], df: int, scale: float) -> None:
    array, errors = np.array(values), uneven(len(values))

    best, worst = ranges(array, errors, df)
    scaled_best, scaled_worst = ranges(array * scale, errors * scale, df)

    assert scaled_best.tolist() == best.tolist()
    assert scaled_worst.tolist() == worst.tolist()


@given(values=means, df=some_df)
def test_a_set_up_far_behind_moves_no_one_forward_and_only_widens_ranges(
    values: list[float], df: int
) -> None:
    # methods.md, true invariants: spread and df fixed.
    array, errors = np.array(values), np.ones(len(values))
    best, worst = ranges(array, errors, df)

    with_last = ranges(np.append(array, -1e6), np.ones(len(values) + 1), df)

    assert (with_last[0][:-1] <= best).all()
    assert (with_last[1][:-1] >= worst).all()
    assert with_last[0][-1] == with_last[1][-1] == len(values) + 1


@given(values=means, df=some_df)
def test_the_own_place_is_always_within_the_range(values: list[float], df: int) -> None:
    array = np.array(values)

    best, worst = ranges(array, np.ones(len(values)), df)
    places = places_of(array, higher_is_better=True)

    assert (places <= worst).all()
    assert (best <= places).all()


def uneven(count: int) -> np.typing.NDArray[np.float64]:
    return np.array([1.0 + i % 3 for i in range(count)])


def ranges(
    values: np.typing.NDArray[np.float64], errors: np.typing.NDArray[np.float64], df: int
) -> tuple[np.typing.NDArray[np.int64], np.typing.NDArray[np.int64]]:
    critical = critical_values(0.95, len(values), float(df))
    return place_range(
        simultaneous_differences(values, independent_errors(errors), critical).is_larger
    )
