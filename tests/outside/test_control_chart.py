"""Control charts against the handbook, and the false alarms they may give."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import special

from trialpress.results import control_chart as control_chart_module
from trialpress.results.control_chart import (
    EWMA_WEIGHT,
    ControlChart,
    Signal,
    control_chart,
    exponential_average,
    widths_in_sigmas,
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
    array, ones = np.array(values), np.ones(len(values))
    return ControlChart(
        array, 20, centre, sigma, 3 * sigma * ones, np.full(len(values), centre), ones
    )


def test_the_moving_average_is_that_of_the_handbook() -> None:
    assert exponential_average(np.array(EWMA_VALUES), 50.0) == pytest.approx(EWMA, abs=0.0051)
    assert 50 + 3 * 2.0539 * math.sqrt(0.3 / 1.7) == pytest.approx(52.5884, abs=1e-4)


def test_later_limits_are_those_of_a_prediction(monkeypatch: pytest.MonkeyPatch) -> None:
    # Hahn, J. Am. Stat. Assoc. 64 (1969) 878, 95 % factors of one further value from 5, 10 and 20.
    at_95 = -float(special.ndtri(0.025))
    monkeypatch.setattr(control_chart_module, "SIGMAS", at_95)

    factors = [widths_in_sigmas.__wrapped__(n + 1, n, 1.0)[-1] for n in (5, 10, 20)]

    assert factors == pytest.approx([3.04, 2.37, 2.14], abs=0.005)


def test_limits_of_the_first_values_are_those_of_tau(monkeypatch: pytest.MonkeyPatch) -> None:
    # The tables of modified Thompson tau, level .05, of 3, 5 and 10 values.
    monkeypatch.setattr(control_chart_module, "SIGMAS", -float(special.ndtri(0.025)))
    monkeypatch.setattr(control_chart_module, "LOOKS", 1.0)

    taus = [widths_in_sigmas.__wrapped__(n, n, 1.0)[0] for n in (3, 5, 10)]

    assert taus == pytest.approx([1.1511, 1.5712, 1.7984], abs=5e-5)


@pytest.mark.parametrize("baseline", [3, 8, 20])
@pytest.mark.parametrize("weight", [1.0, EWMA_WEIGHT])
def test_chance_marks_a_day_as_often_as_known_limits_do(baseline: int, weight: float) -> None:
    draws = np.random.default_rng(baseline).normal(size=(100_000, baseline + 30))
    first = draws[:, :baseline]
    centre, sigma = first.mean(axis=1), first.std(axis=1, ddof=1)
    averages = draws if weight == 1 else exponential_average(draws, centre)
    limits = widths_in_sigmas(baseline + 30, baseline, weight)

    marked = np.abs(averages - centre[:, None]) > limits * sigma[:, None]

    # 0.27 %, a quarter of it within the baseline; six errors of the simulation.
    assert marked[:, -1].mean() == pytest.approx(0.0027, abs=0.001)
    assert marked[:, baseline // 2].mean() == pytest.approx(0.000675, abs=0.0005)


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
