"""How often control charts raise an alarm, against published run lengths."""

from __future__ import annotations

import math

import pytest

from trialpress.results.alarms import average_run_length

# Lucas and Saccucci, Technometrics 32 (1990), table 3, as the documentation of the R package spc
# quotes it: shift, then weight .5 with limits at 3.071 sigma, weight .03 with limits at 2.437.
LUCAS_SACCUCCI = [
    (0.0, 500, 500),
    (0.25, 255, 76.7),
    (0.5, 88.8, 29.3),
    (0.75, 35.9, 17.6),
    (1.0, 17.5, 12.6),
    (1.5, 6.53, 8.07),
    (2.0, 3.63, 5.99),
    (3.0, 1.93, 4.03),
    (4.0, 1.34, 3.11),
]


def test_three_sigmas_alone_err_once_in_370_days() -> None:
    # 1 / .0026998, in every textbook on control charts as 370.4.
    assert average_run_length(0.0, average_sigmas=math.inf) == pytest.approx(370.398, abs=5e-4)


def test_three_sigmas_alone_see_a_step_of_three_sigmas_in_two_days() -> None:
    # 1 / P(z > 0) less what lies beyond the other limit: 2.00.
    assert average_run_length(3.0, average_sigmas=math.inf) == pytest.approx(2.0, abs=1e-6)


@pytest.mark.parametrize(("step", "quick", "slow"), LUCAS_SACCUCCI)
def test_run_lengths_of_averages_are_the_published_ones(
    step: float, quick: float, slow: float
) -> None:
    assert average_run_length(step, 0.5, 3.071, math.inf) == pytest.approx(quick, rel=4e-3)
    assert average_run_length(step, 0.03, 2.437, math.inf) == pytest.approx(slow, rel=4e-3)


def test_the_run_length_of_a_quarter_and_three_sigmas_is_the_published_one() -> None:
    # SAS/QC manual 1999, quoted there too: 11.154267016.
    assert average_run_length(1.0, 0.25, 3.0, math.inf) == pytest.approx(11.154267, abs=2e-4)


def test_both_rules_together_err_more_often_than_either() -> None:
    both = average_run_length(0.0)

    assert both < average_run_length(0.0, average_sigmas=math.inf)
    assert both < average_run_length(0.0, sigmas=math.inf)
