"""Ranks and deviations within strata, by hand and what must hold for any values."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.analyses import ranks

MACHINES = st.lists(st.tuples(st.integers(0, 9), st.integers(0, 2)), min_size=1, max_size=12)


def arrays(machines: list[tuple[int, int]]) -> tuple[ranks.Floats, ranks.Integers]:
    values, strata = zip(*machines, strict=True)
    return np.array(values, dtype=np.float64), np.array(strata, dtype=np.int64)


def test_scores_are_shares_of_the_ranks_in_each_stratum() -> None:
    # Ranks 1, 2.5, 2.5 of three and 1, 2 of two, less their means, over 4 and over 3.
    scores = ranks.rank_scores(np.array([1.0, 7, 7, 50, 60]), np.array([0, 0, 0, 1, 1]))

    assert scores == pytest.approx([-1 / 4, 0.5 / 4, 0.5 / 4, -0.5 / 3, 0.5 / 3])


@given(MACHINES, st.integers(-5, 5))
def test_scores_ignore_what_a_whole_stratum_has_more(
    machines: list[tuple[int, int]], more: int
) -> None:
    values, strata = arrays(machines)

    moved = ranks.rank_scores(values + 100 * more * strata, strata)

    assert moved == pytest.approx(ranks.rank_scores(values, strata))


@given(MACHINES)
def test_deviations_add_up_to_nothing_in_each_stratum(machines: list[tuple[int, int]]) -> None:
    values, strata = arrays(machines)

    apart = ranks.deviations(values, strata)

    assert [apart[strata == one].sum() for one in np.unique(strata)] == pytest.approx(
        [0.0] * len(np.unique(strata)), abs=1e-9
    )


def test_groups_that_are_strata_have_no_contrast() -> None:
    strata = np.array([0, 0, 1, 1])
    columns = np.stack([strata == 0, np.array([1, 0, 1, 0])], axis=1).astype(np.float64)

    assert ranks.has_contrast(ranks.deviations(columns, strata)).tolist() == [False, True]


def test_an_effect_from_nothing_is_nothing() -> None:
    # Ranks 1, 4 and 2, 3: both groups have the mean of 2.5.
    strata = np.zeros(4, dtype=np.int64)
    members = np.array([[1.0, 0], [1, 0], [0, 1], [0, 1]])
    scores = ranks.rank_scores(np.array([1.0, 4, 2, 3]), strata)

    assert ranks.explained_share(ranks.deviations(members, strata), scores, strata) == 0
