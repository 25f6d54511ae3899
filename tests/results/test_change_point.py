"""A step looked for among values that should all be alike."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats
from statsmodels.datasets import nile

from trialpress.results.change_point import (
    DRAWS,
    explained_by_chance,
    explained_by_step,
    find_step,
)


def test_the_nile_fell_after_1898() -> None:
    # Cobb, Biometrika 65 (1978) 243: the flow at Aswan, 1871 to 1970, fell after 1898.
    flow = nile.load_pandas().data["volume"].to_numpy(dtype=np.float64)

    step = find_step(flow)

    assert step is not None
    assert 1871 + step.before - 1 == 1898
    assert step.size == pytest.approx(flow[28:].mean() - flow[:28].mean())
    assert step.p < 0.001


def test_what_a_step_explains_is_the_two_sample_t() -> None:
    values = np.random.default_rng(4).normal(size=12)

    shares = explained_by_step(values)

    for before in range(1, 12):
        t = stats.ttest_ind(values[:before], values[before:]).statistic if 1 < before < 11 else None
        share = shares[before - 1]
        if t is not None:
            assert 10 * share / (1 - share) == pytest.approx(float(t) ** 2)


def test_three_values_have_the_chances_worked_by_hand() -> None:
    # Both places of a step lie 60 degrees apart on a circle: a share above cos(a)^2, for a up to
    # 30 degrees, has the chance of four arcs of 2a, that is 4a / pi.
    by_chance = explained_by_chance(3)

    for angle in (0.05, 0.2, 0.5):
        found = np.mean(by_chance > math.cos(angle) ** 2)
        assert found == pytest.approx(4 * angle / math.pi, abs=4 * math.sqrt(0.25 / DRAWS))


def test_chances_keep_within_the_bound_over_all_places() -> None:
    n, level = 20, 0.01
    share = float(np.quantile(explained_by_chance(n), 1 - level))
    t = math.sqrt((n - 2) * share / (1 - share))

    one = 2 * float(stats.t.sf(t, n - 2))
    assert one < level < (n - 1) * one


def test_an_unchanging_series_rarely_shows_a_step() -> None:
    draws = np.random.default_rng(9).normal(size=(1500, 15))

    told = [step.p <= 0.05 for step in map(find_step, draws) if step is not None]

    assert np.mean(told) == pytest.approx(0.05, abs=4 * math.sqrt(0.05 * 0.95 / 1500))


def test_units_do_not_matter_and_the_sign_of_the_step_follows_the_values() -> None:
    values = np.array([1.0, 1.2, 0.9, 3.0, 3.1, 2.9])
    step, turned = find_step(values), find_step(100 - 7 * values)

    assert step is not None
    assert turned is not None
    assert (step.before, step.p) == (turned.before, turned.p)
    assert step.size > 0 > turned.size


def test_two_values_or_equal_ones_hold_no_step() -> None:
    assert find_step(np.array([1.0, 2.0])) is None
    assert find_step(np.full(9, 4.0)) is None
