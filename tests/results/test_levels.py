"""Whether the spread of runs follows their level."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize, stats

from trialpress.results.cells import Cell
from trialpress.results.levels import SpreadByLevel, spread_by_level
from trialpress.results.ranking import Ranking, Rules, rank
from trialpress.results.spread import Floats, Scatter

LEVELS: Floats = np.linspace(80, 98, 24)
DF: Floats = np.full(24, 2.0)


def by_level(spread: Floats, mean: Floats = LEVELS) -> SpreadByLevel:
    found = spread_by_level(mean, Scatter(spread, np.full(len(mean), 2.0)))
    assert found is not None
    return found


def worked_out(noise: Floats, seed: int) -> Ranking:
    draws = np.random.default_rng(seed)
    cells = []
    for number, (level, spread) in enumerate(zip(LEVELS, noise, strict=True)):
        unknown = np.full(3, np.nan)
        runs = draws.normal(level, spread, 3)
        cells.append(Cell(f"{number}", runs, unknown, unknown, np.zeros(3, dtype=int), unknown))
    return rank(cells, Rules(higher_is_better=True, confidence=0.95, top_n=3))


def test_spreads_that_are_a_power_of_the_level_are_found_exactly() -> None:
    found = by_level((LEVELS / 90) ** 8, LEVELS**2 / 100)

    # By hand: levels squared, so that half the power is left; 48 squares over 47, as it is found.
    assert found.power == pytest.approx(4)
    assert found.of_cells(24) == pytest.approx((LEVELS / 90) ** 8 * np.sqrt(48 / 47))


def test_the_power_is_the_most_likely_one() -> None:
    own = np.sqrt(np.geomspace(9, 1, 24) * np.random.default_rng(4).chisquare(2, 24) / 2)
    found = by_level(own)

    def unlikely(at: Floats) -> float:
        # scipy has the density: df s2 / sigma2 is a chi-square variable.
        sigma2 = np.exp(at[0] + 2 * at[1] * found.away)
        return float(-np.sum(stats.gamma.logpdf(own**2, DF / 2, scale=2 * sigma2 / DF)))

    best = optimize.minimize(unlikely, [0.0, 0.0], method="Nelder-Mead", options={"fatol": 1e-10})
    assert found.power == pytest.approx(best.x[1], abs=1e-3)
    assert found.sd**2 == pytest.approx(np.exp(best.x[0]) * 48 / 47, rel=1e-3)


def test_equal_spreads_a_single_noisy_set_up_and_few_cells_follow_nothing() -> None:
    noisy = np.ones(24)
    noisy[-1] = 9.0

    assert spread_by_level(LEVELS, Scatter(np.ones(24), DF)) is None
    assert spread_by_level(LEVELS, Scatter(noisy, DF)) is None
    assert spread_by_level(LEVELS[:15], Scatter(LEVELS[:15] ** -9, DF[:15])) is None
    assert spread_by_level(LEVELS - 90, Scatter(LEVELS**-9, DF)) is None
    assert spread_by_level(LEVELS, Scatter(np.zeros(24), DF)) is None


def test_equal_spreads_seem_to_follow_the_level_in_one_series_of_a_hundred_at_most() -> None:
    draws = np.random.default_rng(20310302)
    own = np.sqrt(draws.chisquare(2, (1000, 24)) / 2)

    seemed = sum(spread_by_level(LEVELS, Scatter(one, DF)) is not None for one in own)

    assert seemed <= 10 + 3 * np.sqrt(10)


def test_degrees_of_freedom_are_fewer_far_from_the_middle_and_never_more_than_all() -> None:
    found = by_level(np.geomspace(3, 1, 24))
    variance = found.of_cells(24) ** 2 / 3

    of_cells, of_pairs = found.df_of_cells(variance), found.df_of_pairs(variance, slice(24))

    # By hand: 1 / (1 / 47 + away^2 / reach).
    assert of_cells == pytest.approx(1 / (1 / 47 + found.away**2 / found.reach))
    assert of_cells.argmax() == np.abs(found.away).argmin()
    assert of_pairs.max() <= 47
    assert np.diag(of_pairs) == pytest.approx(of_cells)


def test_a_quiet_level_has_shorter_intervals_and_the_unit_does_not_matter() -> None:
    noise = np.geomspace(4, 0.5, 24)
    ranking = worked_out(noise, 3)
    assert isinstance(ranking.spread, SpreadByLevel)

    width = ranking.means.high - ranking.means.low

    assert np.median(width[:6]) > 3 * np.median(width[-6:])
    scaled = [
        Cell(one.setup, one.values * 25.4, one.u_value, one.u_shared, one.days, one.tries)
        for one in ranking.cells
    ]
    again = rank(scaled, Rules(higher_is_better=True, confidence=0.95, top_n=3))
    assert again.means.low == pytest.approx(25.4 * ranking.means.low)
    assert again.chance_top == pytest.approx(ranking.chance_top, abs=1e-6)
    assert (again.place_best == ranking.place_best).all()
