"""The between-day variance."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
from statsmodels.formula.api import ols
from statsmodels.stats.anova import anova_lm

from trialpress.results.days import DayEvidence, between_day_spread, shared_days


def test_the_reduction_from_days_is_that_of_statsmodels() -> None:
    """statsmodels is an independent library: sequential squares of an unbalanced design."""
    draws = np.random.default_rng(20310302)
    setups = np.repeat(np.arange(6), [3, 4, 2, 5, 1, 6])
    days = draws.integers(0, 4, len(setups))
    values = 80 + setups + np.array([0.0, 2.0, -1.0, 4.0])[days] + draws.normal(size=len(setups))
    frame = pd.DataFrame({"value": values, "setup": setups, "day": days})
    table = anova_lm(ols("value ~ C(setup) + C(day)", frame).fit(), typ=1)

    found = between_day_spread(values, setups, days)

    assert found.evidence is DayEvidence.ESTIMATED
    assert found.day_mean_square == pytest.approx(table.loc["C(day)", "mean_sq"])
    assert found.day_df == table.loc["C(day)", "df"]
    assert found.run_variance == pytest.approx(table.loc["Residual", "mean_sq"])
    assert found.run_df == table.loc["Residual", "df"]


def test_the_estimate_is_right_on_average() -> None:
    draws = np.random.default_rng(7)
    setups = np.repeat(np.arange(9), [3] * 8 + [8])
    days = np.concatenate([np.repeat(np.arange(8), 3), np.arange(8)])
    estimates = []
    for _ in range(2000):
        values = draws.normal(size=len(days)) + draws.normal(0, 1.5, 8)[days]
        found = between_day_spread(values, setups, days)
        estimates.append((found.day_mean_square - found.run_variance) / found.runs_per_day)

    error = float(np.std(estimates)) / math.sqrt(len(estimates))
    assert np.mean(estimates) == pytest.approx(1.5**2, abs=4 * error)


def test_a_negative_component_is_zero_and_says_so() -> None:
    # methods.md: barley, variety x site, mean square 26.79 < within 63.63, is of this kind.
    values = np.array([80.0, 90.0, 80.0, 90.0])

    found = between_day_spread(values, np.array([0, 0, 1, 1]), np.array([0, 1, 1, 0]))

    assert found.evidence is DayEvidence.ZERO
    assert found.day_variance == 0


def test_days_that_no_set_up_links_are_not_guessed() -> None:
    found = between_day_spread(
        np.array([80.0, 81.0, 60.0, 61.0]), np.array([0, 0, 1, 1]), np.array([0, 0, 1, 1])
    )

    assert found.evidence is DayEvidence.UNKNOWN


def test_one_day_needs_no_day_variance() -> None:
    found = between_day_spread(
        np.array([80.0, 81.0]), np.array([0, 1]), np.zeros(2, dtype=np.int64)
    )

    assert found.evidence is DayEvidence.ONE_DAY


def test_set_ups_run_on_the_same_days_share_what_the_days_did() -> None:
    # By hand: 0 and 1 share both days evenly; 2 was run on day 1 only: (1/2)^2 + (1/2)^2.
    apart = shared_days(np.array([0, 0, 1, 1, 2]), np.array([0, 1, 0, 1, 1]))

    assert apart == pytest.approx(np.array([[0, 0, 0.5], [0, 0, 0.5], [0.5, 0.5, 0]]))
