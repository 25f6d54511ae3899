"""Values as read."""

from __future__ import annotations

import math

import numpy as np
import pytest

from measure.readings import column
from trialpress.measure.valued import value_as_read


def test_a_reading_has_the_uncertainty_of_its_last_digit_and_its_scale() -> None:
    # By hand: 0.1 / sqrt(12) = 0.0288675; 1 % of 60 = 0.6; together 0.600694.
    budget = value_as_read(column(60.0), column(0.1), column(0.01))

    assert budget.value == pytest.approx([60.0])
    assert budget.standard_uncertainty == pytest.approx([0.600694], abs=5e-7)


def test_a_reading_without_calibration_has_an_unknown_uncertainty() -> None:
    budget = value_as_read(column(60.0), column(0.1), column(np.nan))

    assert math.isnan(budget.standard_uncertainty[0])
