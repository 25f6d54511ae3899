"""How far a run lies from the others, against a case worked by hand."""

from __future__ import annotations

import pytest

from trialpress.desk.preview.nearness import nearness


def test_the_distance_is_told_in_pooled_spreads() -> None:
    """Pooled from {9, 11} and {18, 22}: sqrt((2 + 8) / 2) = 2.23607."""
    near = nearness(-1.8, [9.0, 11.0], [[9.0, 11.0], [18.0, 22.0]])

    assert near is not None
    assert near.difference == pytest.approx(-11.8)
    assert near.in_spreads == pytest.approx(11.8 / 2.23607, abs=1e-4)


def test_a_first_run_is_compared_with_nothing() -> None:
    assert nearness(10.0, [], [[1.0, 2.0]]) is None


def test_without_any_repeated_run_no_spread_is_made_up() -> None:
    near = nearness(10.0, [9.0], [[9.0], [20.0]])

    assert near is not None
    assert near.difference == pytest.approx(1.0)
    assert (near.spread, near.in_spreads) == (None, None)
