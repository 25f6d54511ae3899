"""Control charts against the handbook, and the false alarms they may give."""

from __future__ import annotations

import math

import numpy as np
import pytest

from trialpress.results.control_chart import (
    DF_PER_RANGE,
    ControlChart,
    Signal,
    control_chart,
    exponential_average,
    limit_in_sigmas,
    mean_moving_range,
)

# NIST/SEMATECH e-Handbook 6.3.2.2.
INDIVIDUALS = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
# The same, 6.3.2.4: lambda 0.3, start 50, s 2.0539.
EWMA_VALUES = [52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, *INDIVIDUALS]
EWMA = [
    50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33,
    50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
]  # fmt: skip


def chart(values: list[float], centre: float = 0.0, sigma: float = 1.0) -> ControlChart:
    """A chart of known centre and spread, so that rules can be worked by hand."""
    array = np.array(values)
    return ControlChart(array, 20, centre, sigma, 3 * sigma, np.full(len(values), centre), 1.0)


def test_centre_moving_range_and_limits_are_those_of_the_handbook() -> None:
    values = np.array(INDIVIDUALS)
    sigma = mean_moving_range(values) / 1.128

    assert values.mean() == pytest.approx(50.81)
    assert mean_moving_range(values) == pytest.approx(1.8778, abs=5e-5)
    assert 50.81 + 3 * sigma == pytest.approx(55.8041, abs=5e-4)
    assert 50.81 - 3 * sigma == pytest.approx(45.8159, abs=5e-4)


def test_the_moving_average_is_that_of_the_handbook() -> None:
    assert exponential_average(np.array(EWMA_VALUES), 50.0) == pytest.approx(EWMA, abs=0.0051)
    assert 50 + 3 * 2.0539 * math.sqrt(0.3 / 1.7) == pytest.approx(52.5884, abs=1e-4)


def test_a_full_baseline_has_three_sigma_limits_and_a_short_one_wider() -> None:
    widths = [limit_in_sigmas(baseline) for baseline in (3, 5, 10, 19, 20, 50)]

    assert widths == sorted(widths, reverse=True)
    assert widths[-2:] == [3.0, 3.0]
    assert widths[2] > 4


def test_degrees_of_freedom_of_moving_ranges_are_those_of_a_simulation() -> None:
    draws = np.random.default_rng(5).normal(size=(40_000, 15))
    spread = np.abs(np.diff(draws, axis=1)).mean(axis=1) * math.sqrt(math.pi) / 2

    # A spread on v degrees of freedom has a relative variance of about 1 / (2 v).
    found = 1 / (2 * (spread.std() / spread.mean()) ** 2)

    assert found == pytest.approx(DF_PER_RANGE * 14, rel=0.05)


@pytest.mark.parametrize("baseline", [5, 10, 19])
def test_a_short_baseline_does_not_cry_wolf(baseline: int) -> None:
    draws = np.random.default_rng(baseline).normal(size=(20_000, baseline + 1))
    first, following = draws[:, :-1], draws[:, -1]
    sigma = np.abs(np.diff(first, axis=1)).mean(axis=1) * math.sqrt(math.pi) / 2
    outside = np.abs(following - first.mean(axis=1)) > limit_in_sigmas(baseline) * sigma

    # Three sigmas of a known normal distribution are passed in 0.27 % of cases.
    assert outside.mean() < 0.005


@pytest.mark.parametrize(
    ("values", "signal"),
    [
        ([0.1, 3.1], Signal.BEYOND_LIMITS),
        ([2.1, 0.0, 2.2], Signal.TWO_OF_THREE),
        ([1.1, 1.2, 0.0, 1.1, 1.3], Signal.FOUR_OF_FIVE),
        ([0.1] * 8, Signal.EIGHT_ON_ONE_SIDE),
    ],
)
def test_each_rule_fires_at_the_run_that_completes_it(values: list[float], signal: Signal) -> None:
    assert chart(values).signals()[-1] == (signal,)
    assert all(signal not in told for told in chart(values).signals()[:-1])


def test_values_on_both_sides_do_not_add_up() -> None:
    assert chart([2.1, 0.0, -2.2]).signals()[-1] == ()


def test_a_shift_is_found_by_the_moving_average_before_it_is_by_the_limits() -> None:
    calm = [0.0, 1.0] * 10
    told = control_chart(np.array([*calm, *[1.9] * 8]))

    assert told is not None
    assert any(Signal.MOVING_AVERAGE in signals for signals in told.signals()[20:])
    assert all(Signal.BEYOND_LIMITS not in signals for signals in told.signals())


def test_too_few_values_or_equal_ones_have_no_chart() -> None:
    assert control_chart(np.array([1.0, 2.0])) is None
    assert control_chart(np.array([1.0, 1.0, 1.0])) is None
