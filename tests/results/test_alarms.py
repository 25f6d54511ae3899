"""What a control chart sees and how often it errs, where its limits come from few days."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from trialpress.results import alarms
from trialpress.results.alarms import average_run_length, chance_of_alarm, out_of_line
from trialpress.results.control_chart import FLAGGING, control_chart


@pytest.mark.parametrize("days", [5, 14, 25])
def test_the_simulated_chart_marks_what_the_chart_of_the_bench_marks(days: int) -> None:
    draws = np.random.default_rng(days).standard_t(2, size=(40, days))

    for values, marked in zip(draws, out_of_line(draws), strict=True):
        chart = control_chart(values)
        assert chart is not None
        told = [any(signal in FLAGGING for signal in signals) for signals in chart.signals()]
        assert told == marked.tolist()


def test_from_a_long_known_past_alarms_are_as_rare_as_run_lengths_say(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # An alarm a day comes with chance 1 / ARL once the chart has settled; 400 days make centre and
    # sigma all but known.
    monkeypatch.setattr("trialpress.results.control_chart.FULL_BASELINE", 400)
    monkeypatch.setattr(alarms, "FULL_BASELINE", 400)

    told = chance_of_alarm(400, 0.0, days=20)

    expected = 1 - (1 - 1 / average_run_length(0.0)) ** 20
    # Four errors of 4,000 draws, and a tenth for limits that 400 days leave uncertain.
    assert told == pytest.approx(expected, abs=4 * math.sqrt(expected / alarms.DRAWS) + 0.01)


@pytest.mark.parametrize("days", [3, 5, 10, 15, 20])
def test_limits_from_few_days_err_no_more_often_than_known_ones(days: int) -> None:
    known = 1 - (1 - 1 / average_run_length(0.0)) ** 10

    # With three sigmas and the baseline as if known, limits from twenty days erred in 13 %.
    assert chance_of_alarm(days, 0.0) <= known


def test_limits_that_move_are_looked_at_on_each_day_as_they_stand(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(alarms, "DRAWS", 300)
    draws = np.random.default_rng(alarms.SEED).normal(size=(300, 5))

    told = chance_of_alarm.__wrapped__(3, 0.0, days=2)

    assert told == sum(is_marked(own, 4) or is_marked(own, 5) for own in draws) / 300


def is_marked(values: NDArray[np.float64], seen: int) -> bool:
    """Whether the chart of the bench flags one of the days after the third."""
    chart = control_chart(values[:seen])
    assert chart is not None
    return any(signal in FLAGGING for signals in chart.signals()[3:] for signal in signals)


def test_a_larger_step_is_seen_more_often_and_a_longer_past_sees_more() -> None:
    by_size = [chance_of_alarm(20, step) for step in (0.0, 0.5, 1.0, 2.0, 4.0)]
    by_past = [chance_of_alarm(days, 2.0) for days in (5, 9, 15, 20)]

    assert by_size == sorted(by_size)
    assert by_past == sorted(by_past)


def test_it_is_the_same_every_time_and_for_both_signs_alike() -> None:
    assert chance_of_alarm(9, 1.5) == chance_of_alarm(9, 1.5)
    assert chance_of_alarm(20, 1.0) == pytest.approx(chance_of_alarm(20, -1.0), abs=0.04)
