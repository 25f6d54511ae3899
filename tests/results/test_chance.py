"""The chance of being in the cut."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special, stats

from audit.chance_study import Layout, tenths
from trialpress.results.chance import (
    chance_in_top,
    distribution,
    posterior_chance,
    standard_density,
)
from trialpress.results.mean_errors import MeanErrors
from trialpress.results.shrinkage import log_prior
from trialpress.results.spread import Floats


def test_two_set_ups_have_the_chance_of_the_t_distribution() -> None:
    # By hand: the difference of two means over one spread is t with the spread's df.
    chance = chance_in_top(np.array([1.5, 0.0]), np.array([1.0, 1.0]), 6.0, 1)

    expected = stats.t.cdf(1.5 / np.sqrt(2), 6)
    assert chance == pytest.approx([expected, 1 - expected], abs=1e-6)


def test_equal_set_ups_have_equal_chances() -> None:
    chance = chance_in_top(np.zeros(8), np.ones(8), 16.0, 3)

    assert chance == pytest.approx([3 / 8] * 8, abs=1e-7)  # single precision


def test_the_normal_distribution_in_single_precision_is_that_of_scipy() -> None:
    x = np.linspace(-9, 9, 20_001, dtype=np.float32)

    density = standard_density(x)

    assert density == pytest.approx(stats.norm.pdf(x.astype(np.float64)), abs=1e-7)
    assert distribution(x, density) == pytest.approx(special.ndtr(x.astype(np.float64)), abs=3e-7)


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


def independent(own: list[float], df: float = np.inf) -> MeanErrors:
    return MeanErrors(np.array(own), np.zeros((len(own), 0)), df)


def test_the_shift_of_a_shared_day_does_not_blur_the_chance() -> None:
    """Two set-ups on one set of days, 2.5 apart: only what each has to itself can turn them."""
    mean, own = np.array([2.5, 0.0]), np.array([0.6, 0.6])
    shared = MeanErrors(own, np.array([[3.0], [3.0]]), np.inf)
    # By hand, two set-ups being hardly drawn together: normal(2.5 / sqrt(1.2)) = .9888.
    expected = stats.norm.cdf(2.5 / np.sqrt(1.2))

    chance = posterior_chance(mean, shared, 1)
    apart = posterior_chance(mean, MeanErrors(own, 3.0 * np.eye(2), np.inf), 1)

    assert chance == pytest.approx([expected, 1 - expected], abs=0.03)
    assert apart[0] < 0.8


def test_a_leader_among_equals_is_not_told_to_be_first() -> None:
    mean = np.array([1.4, 0.7, 0.5, 0.2, -0.2, -0.4, -0.9, -1.3])

    flat = chance_in_top(mean, np.ones(8), 16.0, 1)
    drawn = posterior_chance(mean, independent([1.0] * 8, 16.0), 1)

    assert drawn[0] < flat[0] - 0.05
    assert (np.diff(drawn) < 0).all()


@settings(max_examples=15)
@given(
    mean=st.lists(st.floats(0, 10), min_size=2, max_size=7),
    top_n=st.integers(1, 7),
    days=st.integers(0, 3),
)
def test_posterior_chances_add_up_exactly(mean: list[float], top_n: int, days: int) -> None:
    shared = np.random.default_rng(1).normal(0, 1, (len(mean), days))
    errors = MeanErrors(np.full(len(mean), 0.5), shared, 12.0)

    chance = posterior_chance(np.array(mean), errors, top_n)

    assert chance.sum() == pytest.approx(min(top_n, len(mean)), abs=1e-9)
    assert ((chance > -1e-9) & (chance < 1 + 1e-9)).all()


def test_the_quadrature_agrees_with_the_bivariate_normal_distribution() -> None:
    """Three set-ups on three days, one of them to be first, over 400 spreads between set-ups.

    By hand: means have the covariance V = t2 + errors, the general mean is that of generalised
    least squares; true values are m + t2 / V (means - m). scipy has the normal distributions.
    """
    mean = np.array([1.3, 0.4, -0.8])
    own, shared = np.array([0.3, 0.2, 0.9]), np.array([[0.5, 0.0, 0.2], [0.5, 0.3, 0], [0, 0.9, 0]])
    logs = np.linspace(-12, 25, 400)
    heights, firsts = [], []
    for t2 in (0.3 * np.exp(logs)).tolist():
        inverse = np.linalg.inv(np.diag(t2 + own) + shared @ shared.T)
        of_mean = 1 / inverse.sum()
        left = mean - of_mean * (inverse @ mean).sum()
        true = mean - left + t2 * inverse @ left
        moved = 1 - t2 * inverse.sum(axis=1)
        covariance = t2 * np.eye(3) - t2**2 * inverse + of_mean * np.outer(moved, moved)
        heights.append(np.log(of_mean * np.linalg.det(inverse)) / 2 - left @ inverse @ left / 2)
        firsts.append([_first(i, true, covariance) for i in range(3)])
    weights = np.exp(np.array(heights) + log_prior(logs))

    chance = posterior_chance(mean, MeanErrors(own, shared, np.inf), 1)

    assert chance == pytest.approx(weights @ np.array(firsts) / weights.sum(), abs=5e-4)


def _first(i: int, mean: Floats, covariance: Floats) -> float:
    contrast = np.delete(np.eye(3), i, axis=0) - np.eye(3)[i]
    told = stats.multivariate_normal.cdf(
        np.zeros(2), contrast @ mean, contrast @ covariance @ contrast.T
    )
    return float(told)


def test_chances_told_come_true_as_often_as_told() -> None:
    """A short version of the study in ``tests/audit``."""
    layout = Layout("3 runs each", setups=20, top_n=5, between=1.0)

    found = tenths(layout, times=16)

    assert len(found) == 10
    for one in found:
        assert one.cases >= 8
        assert one.share == pytest.approx(one.told, abs=0.03 + 3 * 0.5 / np.sqrt(one.cases))
