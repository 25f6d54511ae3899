"""How far a run lies from the others, against a case worked by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.desk.preview.nearness import nearness

VALUES = st.lists(st.floats(0, 100), min_size=1, max_size=6)


def test_the_limit_is_that_of_a_prediction_interval() -> None:
    """Pooled from {9, 11} and {18, 22}: sqrt((2 + 8) / 2) = 2.23607 on 2 degrees of freedom.

    t(0.975, 2) = 4.30265 (any table), n = 2: 4.30265 * 2.23607 * sqrt(1.5) = 11.7833.
    """
    cells = [[9.0, 11.0], [18.0, 22.0]]

    near, far = (nearness(10 + off, [9.0, 11.0], cells, 0.95) for off in (11.7, -11.8))

    assert near is not None
    assert far is not None
    assert near.limit == pytest.approx(11.7833, abs=5e-4)
    assert near.in_spreads == pytest.approx(11.7 / 2.23607, abs=1e-4)
    assert (near.is_far, far.is_far) == (False, True)
    assert far.difference == pytest.approx(-11.8)


def test_a_first_run_is_compared_with_nothing() -> None:
    assert nearness(10.0, [], [[1.0, 2.0]], 0.95) is None


def test_without_any_repeated_run_no_spread_is_made_up() -> None:
    near = nearness(10.0, [9.0], [[9.0], [20.0]], 0.95)

    assert near is not None
    assert near.difference == pytest.approx(1.0)
    assert (near.in_spreads, near.limit, near.is_far) == (None, None, False)


@given(st.floats(0, 100), VALUES, st.lists(VALUES, max_size=4))
def test_what_is_far_at_a_high_confidence_is_far_at_a_lower(
    value: float, others: list[float], rest: list[list[float]]
) -> None:
    strict, loose = (nearness(value, others, [others, *rest], c) for c in (0.99, 0.9))

    assert strict is not None
    assert loose is not None
    assert loose.is_far or not strict.is_far
