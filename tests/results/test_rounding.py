"""Published digits."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_EVEN, Decimal

import duckdb
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.results.rounding import decimals_for, half_even, half_even_all, published


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


@pytest.mark.parametrize(
    ("typed", "decimals"),
    [
        (("13.1", "13.2"), 1),
        (("13.2", "13.3"), 1),
        (("91.2", "91.3"), 1),
        (("1.01", "1.02"), 2),
        (("-13.1", "-13.2"), 1),
        (("0.1", "0.2", "0.3", "0.4"), 1),
        (("13.1", "13.2", "13.2"), 1),
    ],
)
def test_ties_of_typed_decimals_go_to_the_even_digit(typed: tuple[str, ...], decimals: int) -> None:
    # Python's decimal module, General Decimal Arithmetic Specification, round-half-even.
    exact = sum(map(Decimal, typed), Decimal(0)) / len(typed)
    expected = exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_EVEN)

    mean = math.fsum(map(float, typed)) / len(typed)

    assert half_even(mean, decimals) == float(expected)


@given(value=st.decimals(-500, 500, places=4), decimals=st.integers(0, 3))
def test_queries_round_as_python_does(value: Decimal, decimals: int) -> None:
    told = duckdb.execute(
        "select round_even(round($x * pow(10, $d), 6), 0) / pow(10, $d)",
        {"x": float(value), "d": decimals},
    ).fetchone()

    assert told is not None
    assert told[0] == half_even(float(value), decimals)


@given(
    values=st.lists(st.floats(-1e6, 1e6) | st.decimals(-500, 500, places=3).map(float)),
    decimals=st.integers(0, 6),
)
def test_arrays_are_rounded_as_single_figures_are(values: list[float], decimals: int) -> None:
    rounded = half_even_all(np.array(values), decimals)

    assert rounded.tolist() == [half_even(value, decimals) for value in values]
    assert np.isnan(half_even_all(np.array([math.nan]), decimals)).all()
