"""Agreement between graders is that of an independent library."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.inter_rater import cohens_kappa

from trialpress.measure.agreement import GRADES, NO_VARIANCE, weighted_kappa

GRADE = st.integers(0, GRADES - 1)


@given(pairs=st.lists(st.tuples(GRADE, GRADE), min_size=2, max_size=40))
def test_weighted_kappa_and_its_error_are_those_of_statsmodels(
    pairs: list[tuple[int, int]],
) -> None:
    one, other = np.array(pairs).T
    table = np.zeros((GRADES, GRADES))
    np.add.at(table, (one, other), 1)

    found = weighted_kappa(one, other, 0.95)

    if len({*one, *other}) == 1:
        assert math.isnan(found.kappa)
        return
    with np.errstate(all="ignore"):  # where one grader gave one grade to all
        known = cohens_kappa(table, wt="linear")
    assert found.kappa == pytest.approx(known.kappa)
    if known.var_kappa > NO_VARIANCE:
        low, high = max(known.kappa_low, -1), min(known.kappa_upp, 1)
        assert (found.low, found.high) == pytest.approx((low, high), abs=1e-6)
    else:
        assert math.isnan(found.low)
    assert found.zones == len(pairs)


def test_two_who_always_agree_have_a_kappa_of_one() -> None:
    grades = np.array([0, 1, 4, 2])

    assert weighted_kappa(grades, grades, 0.95).kappa == pytest.approx(1)
