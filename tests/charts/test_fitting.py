"""Words cut to the width they have."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.charts.fitting import fit, text_width


@pytest.mark.parametrize(
    ("text", "thousandths"),
    [
        # Adobe Font Metrics of Helvetica: H 722, e 556, l 222, o 556; W 944, 5 556, % 889.
        ("Hello", 722 + 556 + 222 + 222 + 556),
        ("W5%", 944 + 556 + 889),
        ("é", 556),
    ],
)
def test_widths_are_those_of_the_type_face(text: str, thousandths: int) -> None:
    assert text_width(text, 10) == pytest.approx(thousandths / 100)


def test_a_text_that_fits_is_left_alone() -> None:
    assert fit("Ostrel One", 100, 13) == "Ostrel One"


def test_a_cut_text_leaves_no_comma_before_its_ellipsis() -> None:
    assert fit("Ostrel, as unboxed", 50, 13) == "Ostrel…"


@given(st.text(), st.floats(min_value=20, max_value=500))
def test_whatever_is_fitted_fits(text: str, width: float) -> None:
    assert text_width(fit(text, width, 13), 13) <= width
