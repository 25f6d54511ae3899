"""How far a run lies from the others, against a case worked by hand."""

from __future__ import annotations

import pytest

from trialpress.desk.sheet.assessment import deviation_from_others


def test_the_distance_is_told_in_pooled_spreads() -> None:
    """Pooled from {9, 11} and {18, 22}: sqrt((2 + 8) / 2) = 2.23607."""
    deviation = deviation_from_others(-1.8, [9.0, 11.0], [[9.0, 11.0], [18.0, 22.0]])

    assert deviation is not None
    assert deviation.difference == pytest.approx(-11.8)
    assert deviation.in_spreads == pytest.approx(11.8 / 2.23607, abs=1e-4)


def test_a_first_run_is_compared_with_nothing() -> None:
    assert deviation_from_others(10.0, [], [[1.0, 2.0]]) is None


def test_without_any_repeated_run_no_spread_is_made_up() -> None:
    deviation = deviation_from_others(10.0, [9.0], [[9.0], [20.0]])

    assert deviation is not None
    assert deviation.difference == pytest.approx(1.0)
    assert (deviation.spread, deviation.in_spreads) == (None, None)
