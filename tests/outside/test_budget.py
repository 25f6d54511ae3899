"""Budgets against the examples of the GUM."""

from __future__ import annotations

import math

import numpy as np
import pytest

from trialpress.measure.budget import (
    combined_uncertainty,
    coverage_factor,
    effective_degrees_of_freedom,
)

# JCGM 100:2008 (GUM), H.1.6, end gauge: contributions in nanometres and their degrees of freedom.
END_GAUGE = [25.0, 9.7, 2.9, 16.6]
END_GAUGE_DF = [18.0, 25.6, 50.0, 2.0]


def test_the_end_gauge_has_the_combined_uncertainty_of_the_gum() -> None:
    assert round(float(combined_uncertainty([np.array([u]) for u in END_GAUGE])[0])) == 32


def test_the_end_gauge_has_the_degrees_of_freedom_of_the_gum() -> None:
    # methods.md gives 16.75; the GUM itself, from figures of more digits, prints 16.7.
    assert effective_degrees_of_freedom(END_GAUGE, END_GAUGE_DF) == pytest.approx(16.75, abs=0.02)


def test_degrees_of_freedom_are_cut_and_never_rounded_up() -> None:
    # t99(16) = 2.92078 (methods.md); U99 = 93.5 nm with the combined uncertainty printed as 32.
    factor = coverage_factor(16.75, 0.99)

    assert factor == pytest.approx(2.92078, abs=5e-6)
    assert factor * 32 == pytest.approx(93.5, abs=0.05)


def test_exactly_known_components_have_the_normal_coverage_factor() -> None:
    assert effective_degrees_of_freedom([1.0, 2.0], [math.inf, math.inf]) == math.inf
    assert coverage_factor(math.inf, 0.95) == pytest.approx(1.959964, abs=5e-7)
