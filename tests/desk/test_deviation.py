"""How far a run lies from the others, against cases worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from trialpress.desk.sheet.assessment import Deviation, deviation_from_others
from trialpress.results.cells import Cell
from trialpress.results.ranking import Rules, rank
from trialpress.results.spread import Floats


def deviation(
    value: float, setup: str, *runs: list[float] | Floats, tries: float = math.nan
) -> Deviation | None:
    cells = [
        Cell(
            f"{number}",
            np.array(values),
            np.full(len(values), np.nan),
            np.full(len(values), np.nan),
            np.zeros(len(values), dtype=np.int64),
            np.full(len(values), tries),
        )
        for number, values in enumerate(runs)
    ]
    rules = Rules(higher_is_better=True, confidence=0.95, top_n=3, is_share=not math.isnan(tries))
    return deviation_from_others(value, rank(cells, rules), setup)


def test_the_distance_is_told_in_pooled_spreads() -> None:
    """Pooled from {9, 11} and {18, 22}: sqrt((2 + 8) / 2) = 2.23607."""
    found = deviation(-1.8, "0", [9.0, 11.0], [18.0, 22.0])

    assert found is not None
    assert found.difference == pytest.approx(-11.8)
    assert found.in_spreads == pytest.approx(11.8 / 2.23607, abs=1e-4)


def test_a_set_up_whose_own_runs_scatter_more_is_told_in_its_own_spread() -> None:
    """Own sqrt(200) of {90, 110}; its square over the others' 2 is far beyond F(.8; 1, 2) = 3.6."""
    found = deviation(120.0, "0", [90.0, 110.0], [9.0, 11.0], [19.0, 21.0])

    assert found is not None
    assert found.in_spreads == pytest.approx(20 / math.sqrt(200))


def test_where_spreads_follow_the_level_that_of_the_level_is_told() -> None:
    """Runs of 24 set-ups at mean and mean +- mean / 10: the spread of each is mean / 10.

    Times sqrt(48 / 47), as the power is estimated too.
    """
    runs = [level * np.array([0.9, 1.0, 1.1]) for level in np.linspace(10, 80, 24)]

    low, high = (deviation(0.0, name, *runs) for name in ("0", "23"))

    assert low is not None
    assert high is not None
    assert low.spread == pytest.approx(math.sqrt(48 / 47))
    assert high.spread == pytest.approx(8 * math.sqrt(48 / 47))


def test_a_share_has_a_spread_at_100_percent_too() -> None:
    """Wilson's half width for one standard deviation, 30 tries all hits: 50 / 31 = 1.6129."""
    found = deviation(90.0, "0", [100.0, 100.0], [50.0, 50.0], tries=30.0)

    assert found is not None
    assert found.spread == pytest.approx(50 / 31)


def test_a_first_run_is_compared_with_nothing() -> None:
    assert deviation(10.0, "new", [1.0, 2.0]) is None


def test_without_any_repeated_run_no_spread_is_made_up() -> None:
    found = deviation(10.0, "0", [9.0], [20.0])

    assert found is not None
    assert found.difference == pytest.approx(1.0)
    assert (found.spread, found.in_spreads) == (None, None)
