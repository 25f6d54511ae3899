"""Pickup from weighings, and how sure it is."""

from __future__ import annotations

import math

import GTC
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from measure.readings import weighed
from trialpress.measure.budget import combined_uncertainty
from trialpress.measure.weighed import pickup_collected, pickup_from_left


def test_pickup_by_two_differences_has_the_uncertainty_worked_out_with_gtc() -> None:
    # methods.md: applied 151.3 - 131.2 g, container 1842.6 - 1824.5 g, computed with GTC.
    budget = pickup_collected(weighed(before_g=1824.5, after_g=1842.6, dose_g=151.3 - 131.2))

    assert budget.value == pytest.approx([90.04975], abs=5e-6)
    assert budget.standard_uncertainty == pytest.approx([0.273322], abs=5e-7)


def test_pickup_from_what_is_left_has_the_uncertainty_worked_out_with_gtc() -> None:
    # methods.md: the same run seen from a panel that gained 2.0 g, computed with GTC.
    budget = pickup_from_left(weighed(gain_g=2.0))

    assert budget.value == pytest.approx([90.04975], abs=5e-6)
    assert budget.standard_uncertainty == pytest.approx([0.204112], abs=5e-7)


def test_a_dose_read_directly_is_surer_than_one_by_difference() -> None:
    # A reading is d / sqrt(12), a difference d / sqrt(6) (GUM, rectangular distribution).
    read = pickup_collected(weighed(gain_g=0.0, dose_is_difference=0.0, dose_g=1.0))
    dose = next(part for part in read.components if part.name == "dose")

    assert dose.standard_uncertainty == pytest.approx([0.0288675], abs=5e-8)


def test_a_blank_is_taken_off_and_adds_its_own_uncertainty() -> None:
    without = pickup_collected(weighed(gain_g=10.0, dose_g=20.0))
    with_blank = pickup_collected(weighed(gain_g=10.0, dose_g=20.0, blank_g=1.0))

    assert with_blank.value == pytest.approx([45.0])
    assert with_blank.standard_uncertainty[0] > without.standard_uncertainty[0]


def test_one_balance_needs_no_calibration_for_a_ratio() -> None:
    known = pickup_collected(weighed(gain_g=10.0, scale_u=0.01, dose_scale_u=0.01))
    unknown = pickup_collected(weighed(gain_g=10.0))

    assert known.standard_uncertainty == pytest.approx(unknown.standard_uncertainty)


def test_two_balances_without_calibration_make_the_uncertainty_unknown() -> None:
    budget = pickup_collected(weighed(gain_g=10.0, same_balance=0.0, scale_u=0.001))

    assert math.isnan(budget.standard_uncertainty[0])


def test_errors_of_scales_are_common_to_all_runs_and_those_of_readings_are_not() -> None:
    # GUM, F.1.2.3: one calibration for all runs makes their errors one error. By hand: 50 % of
    # u = 0.003 and of u = 0.004 are 0.15 and 0.2, together 0.25.
    two = weighed(gain_g=10.0, dose_g=20.0, same_balance=0.0, scale_u=0.003, dose_scale_u=0.004)
    shared = [part for part in pickup_collected(two).components if part.is_shared]

    assert combined_uncertainty([part.contribution for part in shared]) == pytest.approx([0.25])


def test_a_balance_that_is_not_named_makes_the_uncertainty_unknown() -> None:
    budget = pickup_collected(weighed(gain_g=10.0, resolution_g=np.nan))

    assert math.isnan(budget.standard_uncertainty[0])


def test_pickup_above_one_hundred_percent_is_kept_as_measured() -> None:
    assert pickup_collected(weighed(gain_g=22.0, dose_g=20.0)).value == pytest.approx([110.0])


@given(
    before_g=st.floats(500, 3000),
    gain_g=st.floats(-5, 60),
    blank_g=st.floats(0, 1),
    dose_g=st.floats(5, 60),
    resolution_g=st.sampled_from([0.01, 0.1, 1.0]),
    scale_u=st.floats(1e-5, 1e-2),
    dose_scale_u=st.floats(1e-5, 1e-2),
)
def test_every_budget_of_two_balances_agrees_with_gtc(  # noqa: PLR0913, PLR0917
    before_g: float,
    gain_g: float,
    blank_g: float,
    dose_g: float,
    resolution_g: float,
    scale_u: float,
    dose_scale_u: float,
) -> None:
    """GTC is an independent library of GUM uncertainty."""
    after_g = before_g + gain_g
    step = resolution_g / math.sqrt(12)
    after, before = GTC.ureal(after_g, step), GTC.ureal(before_g, step)
    blank = GTC.ureal(blank_g, step * math.sqrt(2))
    dose = GTC.ureal(dose_g, 0.01 / math.sqrt(6))
    scale, dose_scale = GTC.ureal(1, scale_u), GTC.ureal(1, dose_scale_u)
    oracle = 100 * (after - before - blank) * scale / (dose * dose_scale)

    budget = pickup_collected(
        weighed(
            before_g=before_g,
            after_g=after_g,
            blank_g=blank_g,
            dose_g=dose_g,
            resolution_g=resolution_g,
            dose_resolution_g=0.01,
            scale_u=scale_u,
            dose_scale_u=dose_scale_u,
            same_balance=0.0,
        )
    )

    assert budget.value[0] == pytest.approx(GTC.value(oracle), rel=1e-9, abs=1e-9)
    assert budget.standard_uncertainty[0] == pytest.approx(GTC.uncertainty(oracle), rel=1e-6)
