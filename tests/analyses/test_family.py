"""Many looks as one family."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.analyses.family import benjamini_hochberg, holm, told_below, told_together

P_VALUES = st.lists(st.floats(0, 1), max_size=8)


@dataclass(frozen=True)
class Look:
    p: float | None
    relation: str = "goes with"
    p_fdr: float | None = None


@given(P_VALUES)
def test_corrected_p_values_are_no_smaller_and_keep_their_order(p_values: list[float]) -> None:
    for by in (holm, benjamini_hochberg):
        corrected = by(p_values)

        assert all(after >= before for after, before in zip(corrected, p_values, strict=True))
        pairs = sorted(zip(p_values, corrected, strict=True))
        assert sorted(corrected) == [after for _, after in pairs]


@given(P_VALUES)
def test_false_discoveries_are_the_milder_family(p_values: list[float]) -> None:
    milder, stricter = benjamini_hochberg(p_values), holm(p_values)

    assert all(one <= other + 1e-12 for one, other in zip(milder, stricter, strict=True))


def test_what_the_interval_leaves_open_is_not_told_by_a_small_p() -> None:
    looks = [Look(0.001), Look(0.001, "cannot tell"), Look(None, "cannot tell")]

    told = told_together(looks, 0.95, benjamini_hochberg, "p_fdr")

    assert [row.relation for row in told] == ["goes with", "cannot tell", "cannot tell"]
    assert [row.p_fdr for row in told] == [0.001, 0.001, None]


def test_p_is_put_right_before_it_is_rounded() -> None:
    # Twice 0.02504 is above 0.05; of the rounded 0.025 it would not be.
    told = told_together([Look(0.02504), Look(0.9)], 0.95, holm, "p_fdr")

    assert [row.relation for row in told] == ["cannot tell", "cannot tell"]
    assert [row.p for row in told] == [0.025, 0.9]


def test_parts_are_told_only_of_a_question_that_is_told() -> None:
    parts = [Look(0.0001, "better"), Look(0.4, "worse")]
    told, untold = Look(0.001), Look(0.3, "cannot tell")
    questions = [told, untold, *[Look(0.5, "cannot tell")] * 3]

    below_told = told_below(told, parts, questions, 0.95)
    below_untold = told_below(untold, parts, questions, 0.95)

    # Two parts, five questions of which one is told: 0.0001 times 2 times 5.
    assert [row.p_fdr for row in below_told] == pytest.approx([0.001, 1.0])
    assert [row.relation for row in below_told] == ["better", "cannot tell"]
    assert [row.relation for row in below_untold] == ["cannot tell", "cannot tell"]
    assert {row.p_fdr for row in below_untold} == {1.0}


def test_rows_stay_in_their_order() -> None:
    looks = [Look(p) for p in (0.3, 0.001, 0.04)]

    told = told_together(looks, 0.95, holm, "p_fdr")

    assert [row.p for row in told] == [0.3, 0.001, 0.04]
    assert replace(told[1], p_fdr=None) == looks[1]
