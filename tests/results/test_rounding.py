"""Published digits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.results.rounding import decimals_for, published


@pytest.mark.parametrize(
    ("half_widths", "decimals"),
    [
        ([2.3], 1),
        ([0.34], 2),
        ([12.0], 0),
        ([340.0], 0),
        ([0.5, 2.3, 40.0], 1),
        ([math.nan, 2.3], 1),
        ([], 1),
        ([math.nan], 1),
    ],
)
def test_the_middle_half_width_gets_two_significant_digits(
    half_widths: list[float], decimals: int
) -> None:
    assert decimals_for(half_widths) == decimals


@given(width=st.floats(1e-4, 1e4))
def test_no_half_width_shows_more_than_two_digits_after_its_first(width: float) -> None:
    shown = f"{width:.{decimals_for([width])}f}"

    significant = shown.replace(".", "").lstrip("0")
    assert len(significant) >= 2 or width >= 10
    assert len(significant) <= 3 or width >= 100


def test_what_does_not_exist_is_published_as_nothing() -> None:
    assert published(math.nan, 1) is None
    assert published(math.inf, 1) is None


def test_there_is_no_minus_zero() -> None:
    assert str(published(-0.04, 1)) == "0.0"
