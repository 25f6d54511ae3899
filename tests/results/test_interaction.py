"""The set-up x floor variance and the scope that it widens."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.formula.api import ols
from statsmodels.stats.anova import anova_lm

from trialpress.results.interaction import Interaction, Square, interaction_of
from trialpress.results.overall import Part, overall_mean


def test_the_mean_square_is_that_of_statsmodels() -> None:
    """statsmodels is an independent library: two-way table without replication."""
    logs = np.random.default_rng(3).normal(4.4, 0.1, (6, 4))
    frame = pd.DataFrame(
        [(i, j, logs[i, j]) for i in range(6) for j in range(4)], columns=["setup", "floor", "log"]
    )
    residual = anova_lm(ols("log ~ C(setup) + C(floor)", frame).fit()).loc["Residual"]

    found = interaction_of(logs, np.full((6, 4), 0.001), ["stick"] * 6)

    (square,) = found.squares
    assert square == Square(square.value, residual["df"], 1.0)
    assert square.value == pytest.approx(residual["mean_sq"])
    assert found.variance == pytest.approx(residual["mean_sq"] - 0.001)


def test_kinds_are_told_apart_as_statsmodels_does() -> None:
    """Within kinds, a two-way table of each kind; between them, what is left of that of all."""
    scores = np.random.default_rng(4).normal(0, 0.1, (6, 4))
    scores[:3, 0] += 1.0
    kinds = ["robot"] * 3 + ["stick"] * 3
    frame = pd.DataFrame(
        [(i, kinds[i], j, scores[i, j]) for i in range(6) for j in range(4)],
        columns=["setup", "kind", "floor", "score"],
    )
    within = sum(residual_squares(own) for _, own in frame.groupby("kind"))
    of_setups, of_kinds = within / 12, (residual_squares(frame) - within) / 3

    found = interaction_of(scores, np.full((6, 4), 0.0001), kinds)

    assert [one.df for one in found.squares] == [12, 3]
    assert found.variance == pytest.approx(of_setups - 0.0001)
    assert found.kind_variance == pytest.approx((of_kinds - of_setups) / 3)


def test_set_ups_in_the_same_order_everywhere_have_no_interaction() -> None:
    logs = np.array([[4.1, 4.3, 4.0], [4.4, 4.6, 4.3]])

    assert interaction_of(logs, np.full((2, 3), 0.001), ["robot", "stick"]).total == 0


def residual_squares(frame: pd.DataFrame) -> float:
    table = anova_lm(ols("score ~ C(setup) + C(floor)", frame).fit())
    return float(table.loc["Residual", "sum_sq"])


@given(
    errors=st.lists(st.floats(0.1, 5), min_size=3, max_size=6),
    variance=st.floats(0, 0.05),
    df=st.integers(1, 60),
)
def test_floors_like_these_are_never_surer_than_these_floors(
    errors: list[float], variance: float, df: int
) -> None:
    parts = [Part(1.0, 80.0, error, 5.0) for error in errors]
    here = overall_mean(parts)
    squares = (Square(variance + 0.001, float(df), 1.0), Square(variance, 2.0, 1.0))
    interaction = Interaction(variance, variance, ("robot", "stick"), squares)

    there = here.on_floors_like_these(interaction, [1.0] * len(parts), "stick")

    assert there.value == here.value
    assert there.interval(0.95)[0] <= here.interval(0.95)[0]
    assert there.interval(0.95)[1] >= here.interval(0.95)[1]
