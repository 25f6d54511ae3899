"""What it is worth to spread runs over evenings."""

from __future__ import annotations

import math

import numpy as np
import pytest

from trialpress.results.evenings import as_many_in_one_evening, runs_to_decide
from trialpress.results.separation import Relation, critical_values, relation_of


def test_three_evenings_are_worth_as_many_runs_as_worked_by_hand() -> None:
    # r 4, s 1: three evenings leave 5 / 3, one evening 1 + 4 / n, so n is 6.
    assert as_many_in_one_evening(3, 4.0, 1.0) == pytest.approx(6.0)
    # r 4, s 2: 6 / 3 is s alone, which no number of runs of one evening goes below.
    assert math.isinf(as_many_in_one_evening(3, 4.0, 2.0))


def test_without_sittings_evenings_are_worth_nothing_more() -> None:
    assert as_many_in_one_evening(3, 4.0, 0.0) == pytest.approx(3.0)


def test_the_equivalent_holds_in_simulated_sittings() -> None:
    draws, n = np.random.default_rng(8), 40_000
    apart = (draws.normal(0, 1, (n, 3)) + draws.normal(0, 2, (n, 3))).mean(axis=1)
    together = draws.normal(0, 1, n) + draws.normal(0, 2, (n, 6)).mean(axis=1)

    assert apart.std() == pytest.approx(together.std(), rel=0.02)


@pytest.mark.parametrize("count", [2, 8, 45])
def test_with_the_runs_told_every_difference_is_level_or_told_apart(count: int) -> None:
    runs = runs_to_decide(1.5, 60.0, 1.0, count, 0.95)

    assert runs is not None
    critical = float(critical_values(0.95, count, np.asarray(60.0)))
    half = critical * math.sqrt(2 * 1.5 / runs)
    relations = [
        relation_of(d - half, d + half, 1.0, higher_is_better=True)
        for d in np.linspace(-3, 3, 601).tolist()
    ]
    assert Relation.CANNOT_TELL not in relations
    wider = critical * math.sqrt(2 * 1.5 / (runs - 1))
    middle = wider * (1 - 1e-9)
    assert relation_of(middle - wider, middle + wider, 1.0, higher_is_better=True) is (
        Relation.CANNOT_TELL
    )


def test_what_would_take_too_many_runs_is_no_plan() -> None:
    assert runs_to_decide(100.0, 60.0, 0.1, 8, 0.95) is None
    assert runs_to_decide(0.0, 60.0, 0.1, 8, 0.95) is None
