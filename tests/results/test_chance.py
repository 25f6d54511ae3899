"""The chance of being in the cut."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from trialpress.results.chance import chance_in_top


def test_two_set_ups_have_the_chance_of_the_t_distribution() -> None:
    # By hand: the difference of two means over one spread is t with the spread's df.
    chance = chance_in_top(np.array([1.5, 0.0]), np.array([1.0, 1.0]), 6.0, 1)

    expected = stats.t.cdf(1.5 / np.sqrt(2), 6)
    assert chance == pytest.approx([expected, 1 - expected], abs=2e-4)


def test_equal_set_ups_have_equal_chances() -> None:
    chance = chance_in_top(np.zeros(8), np.ones(8), 16.0, 3)

    assert chance == pytest.approx([3 / 8] * 8, abs=1e-4)


def test_the_chance_agrees_with_a_simulation() -> None:
    mean, errors = np.array([92.1, 90.4, 88.0, 87.5, 80.2]), np.array([1.6, 1.9, 0.7, 1.8, 3.1])
    draws = np.random.default_rng(20310302)
    scale = np.sqrt(9 / draws.chisquare(9, 200_000))
    true = mean + errors * scale[:, None] * draws.standard_normal((200_000, 5))
    ahead = (true[:, :, None] < true[:, None, :]).sum(axis=2)

    chance = chance_in_top(mean, errors, 9.0, 2)

    assert chance == pytest.approx((ahead < 2).mean(axis=0), abs=0.005)


@given(
    mean=st.lists(st.floats(0, 10), min_size=2, max_size=7),
    top_n=st.integers(1, 7),
    df=st.sampled_from([2.0, 16.0, np.inf]),
)
def test_chances_add_up_to_the_places_there_are(mean: list[float], top_n: int, df: float) -> None:
    chance = chance_in_top(np.array(mean), np.ones(len(mean)), df, top_n)

    assert chance.sum() == pytest.approx(min(top_n, len(mean)), abs=0.01)
