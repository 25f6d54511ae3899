"""Which row of the study a series is most like."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from audit.separation_study import promised
from trialpress.results.cells import Cell
from trialpress.results.ranking import Rules, rank
from trialpress.results.study import (
    StudyRow,
    chance_of_equal_spreads,
    nearest_row,
    study_rows,
)

RULES = Rules(higher_is_better=True, confidence=0.95, top_n=3)


def series(
    set_ups: int,
    runs: int = 3,
    *,
    noise: tuple[float, ...] = (1.0,),
    days: tuple[int, ...] = (0,),
    sitting_spread: float = 0.0,
) -> StudyRow | None:
    """The row of a series of set-ups that differ widely; noises in turn, the runs of each day."""
    draws = np.random.default_rng(7)
    on = np.array([day for day in days for _ in range(runs)], dtype=np.int64)
    cells = []
    for k in range(set_ups):
        unknown = np.full(len(on), np.nan)
        of_sitting = draws.normal(0, sitting_spread or 1e-9, 1 + max(days))[on]
        of_run = draws.normal(0, noise[k % len(noise)], len(on))
        cells.append(Cell(f"{k}", 10.0 * k + of_sitting + of_run, unknown, unknown, on, unknown))
    return nearest_row(rank(cells, RULES))


@pytest.mark.parametrize(
    ("set_ups", "studied"), [(2, 3), (4, 3), (6, 8), (12, 8), (14, 20), (39, 45), (300, 45)]
)
def test_the_number_of_set_ups_is_the_nearest_that_was_studied(set_ups: int, studied: int) -> None:
    found = series(set_ups)

    assert found is not None
    assert found.set_ups == studied


def test_equal_noise_and_one_noisy_set_up_are_told_from_each_other() -> None:
    equal, one = series(20), series(20, 4, noise=(1.0,) * 19 + (9.0,))

    assert equal is not None
    assert one is not None
    assert (equal.case, one.case) == ("three-runs", "one-noisy")


def test_uneven_noise_is_the_threefold_range() -> None:
    found = series(20, 6, noise=(1.0, 1.7, 2.6))

    assert found is not None
    assert found.case in {"threefold", "one-noisy"}


def test_sittings_that_differ_are_seen_in_the_case() -> None:
    found = series(8, 3, days=(0, 1, 2), sitting_spread=1.2)

    assert found is not None
    assert found.case == "sittings-1"


def test_of_cases_that_fit_the_one_that_errs_most_is_told() -> None:
    rows = {row.case: row for row in study_rows() if row.set_ups == 20}
    found = series(20, 3, days=(0, 1, 2), sitting_spread=1.2, noise=(1.0,) * 19 + (9.0,))

    assert found is not None
    fitting = (rows["sittings-1"], rows["one-noisy"])
    assert found.false_separation >= min(row.false_separation for row in fitting)


def test_nothing_is_said_of_a_series_that_tells_nothing_apart() -> None:
    assert series(1) is None
    assert series(4, 1) is None


def test_promises_stand_where_the_rules_make_them() -> None:
    # The promises of the rules: methods.md and the study's own list.
    assert (promised(8, "three-runs"), promised(45, "threefold")) == (5.5, 8.0)
    assert (promised(20, "sittings-1"), promised(20, "one-noisy")) == (6.0, 9.0)
    assert promised(3, "three-runs") is None
    assert promised(8, "singles") is None


def test_every_row_with_a_promise_keeps_it() -> None:
    # Half a point and three errors of the simulation, as the promises are stated.
    broken = [
        row
        for row in study_rows()
        if row.promised is not None and row.false_separation > row.promised + 0.5 + 3 * row.error
    ]

    assert broken == []


@given(
    groups=st.lists(
        st.lists(st.floats(-50, 50).map(lambda value: round(value, 2)), min_size=2, max_size=6)
        .map(np.array)
        .filter(lambda values: np.ptp(values) > 0),
        min_size=2,
        max_size=8,
    )
)
def test_uneven_spreads_are_those_of_bartletts_test_in_scipy(
    groups: list[np.typing.NDArray[np.float64]],
) -> None:
    assert chance_of_equal_spreads(groups) == pytest.approx(stats.bartlett(*groups).pvalue)
