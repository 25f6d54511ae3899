"""Shares of counts and graded zones."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.proportion import proportion_confint

from measure.readings import column
from trialpress.measure.counted import share_of_clean_zones, share_of_hits, wilson_interval


@pytest.mark.parametrize(
    ("hits", "tries", "low", "high"),
    [
        # methods.md: Newcombe 1998 cases, computed with statsmodels.
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilson_intervals_are_those_of_newcombe(
    hits: int, tries: int, low: float, high: float
) -> None:
    found_low, found_high = wilson_interval(column(hits), column(tries), quantile=1.959964)

    assert found_low == pytest.approx([low], abs=5e-5)
    assert found_high == pytest.approx([high], abs=5e-5)


@given(tries=st.integers(1, 500), share=st.floats(0, 1))
def test_every_wilson_interval_agrees_with_statsmodels(tries: int, share: float) -> None:
    hits = round(share * tries)
    low, high = proportion_confint(hits, tries, alpha=0.05, method="wilson")

    found_low, found_high = wilson_interval(column(hits), column(tries), quantile=1.959963984540054)

    assert found_low[0] == pytest.approx(low, abs=1e-12)
    assert found_high[0] == pytest.approx(high, abs=1e-12)


def test_all_and_none_still_have_an_uncertainty() -> None:
    budget = share_of_hits(column(0, 20), column(20, 20))

    assert budget.value == pytest.approx([0, 100])
    assert (budget.standard_uncertainty > 0).all()


def test_more_graders_of_the_same_zones_do_not_make_a_share_surer() -> None:
    one = share_of_clean_zones(column(6), column(8), column(8))
    three = share_of_clean_zones(column(18), column(24), column(8))

    assert three.value == pytest.approx(one.value)
    assert three.standard_uncertainty == pytest.approx(one.standard_uncertainty)
