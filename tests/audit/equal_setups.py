"""Set-ups that are all equal, as the study simulates them: runs, noise and days.

In:  a number of set-ups.
Out: scenarios, and the cells of one simulated bench.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray
from scipy import special

from trialpress.results.cells import Cell

SHARE = 0.8  # true share of hits of equal set-ups
TRIES = 30
SHARE_SPREADS = {
    "3 runs on each of 3 shared days": (0.0, 0.0),
    "3 runs on each of 3 shared days, day spread 1": (1.0, 0.0),
    "3 runs on each of 3 shared days, sitting spread 0.5": (0.0, 0.5),
    "3 runs on each of 3 shared days, sitting spread 1": (0.0, 1.0),
}


@dataclass(frozen=True)
class Scenario:
    """Equal set-ups: how many runs each has, how noisy it is, on which days it was run.

    ``days`` holds the day of every run of every set-up; without it all are of one day. Where
    ``is_share``, runs count hits of ``TRIES`` tries, and spreads of days and sittings are in units
    of what chance alone makes such a run scatter.
    """

    name: str
    runs: tuple[int, ...]
    noise: tuple[float, ...]
    day_spread: float = 0.0
    sitting_spread: float = 0.0
    is_share: bool = False
    days: tuple[tuple[int, ...], ...] = field(default=())


def scenarios(count: int) -> Iterator[Scenario]:
    """The scenarios of the study for one number of set-ups."""
    one = (1.0,) * count
    yield Scenario("3 runs each", (3,) * count, one)
    yield Scenario("2 runs each", (2,) * count, one)
    yield Scenario("1 to 5 runs", tuple((1, 2, 3, 4, 5)[(i + 2) % 5] for i in range(count)), one)
    yield Scenario("every second one on one run", tuple(3 - 2 * (i % 2) for i in range(count)), one)
    noise: NDArray[np.float64] = np.linspace(1, 3, count)
    yield Scenario("threefold range of noise", (3,) * count, tuple(noise.tolist()))
    yield Scenario("one four times noisier", (3,) * count, (*one[1:], 4.0))
    for day_spread in (0.0, 0.5, 1.0):
        yield own_days(count, day_spread)
    for sitting_spread in (0.0, 0.5, 1.0):
        yield shared_days_of(count, sitting_spread)
    yield Scenario(
        "all on the same 3 days, day spread 1", (3,) * count, one, 1.0, days=((0, 1, 2),) * count
    )
    for name, spreads in SHARE_SPREADS.items():
        shared = shared_days_of(count, spreads[1])
        yield replace(shared, name=f"counts, {name}", day_spread=spreads[0], is_share=True)


def shared_days_of(count: int, sitting_spread: float) -> Scenario:
    """Every set-up on the same three days, three runs in each sitting."""
    return Scenario(
        f"3 runs on each of 3 shared days, sitting spread {sitting_spread:g}",
        (9,) * count,
        (1.0,) * count,
        sitting_spread=sitting_spread,
        days=((0, 0, 0, 1, 1, 1, 2, 2, 2),) * count,
    )


def own_days(count: int, day_spread: float) -> Scenario:
    """Every set-up on a day of its own, the last one, the reference, on all of them."""
    others = count - 1
    return Scenario(
        f"each on its own day, day spread {day_spread:g}",
        (*(3,) * others, others),
        (1.0,) * count,
        day_spread,
        days=(*((i,) * 3 for i in range(others)), tuple(range(others))),
    )


def draw_shares(scenario: Scenario, draws: np.random.Generator) -> list[Cell]:
    """Logits of the true shares move with days and sittings; hits are binomial."""
    day_sd, sitting_sd = _logit_spreads(scenario)
    number = 1 + max(map(max, scenario.days))
    day_shift = draws.normal(0, 1, number) * day_sd
    cells = []
    for i, days in enumerate(scenario.days):
        on = np.array(days, dtype=np.int64)
        logit = special.logit(SHARE) + day_shift + draws.normal(0, 1, number) * sitting_sd
        hits = draws.binomial(TRIES, special.expit(logit[on]))
        known = np.zeros(len(on))
        cells.append(Cell(f"{i}", 100 * hits / TRIES, known, known, on, known + TRIES))
    return cells


def _logit_spreads(scenario: Scenario) -> tuple[float, float]:
    """Spreads of days and sittings on the logit scale, by the slope at the true share."""
    of_run = 1 / math.sqrt(TRIES * SHARE * (1 - SHARE))
    return scenario.day_spread * of_run, scenario.sitting_spread * of_run


def true_share(scenario: Scenario) -> float:
    """The mean share over all days and sittings."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(40)
    spread = math.hypot(*_logit_spreads(scenario))
    shares = special.expit(special.logit(SHARE) + spread * nodes)
    return float(weights @ shares / weights.sum())


def draw(scenario: Scenario, draws: np.random.Generator) -> list[Cell]:
    days = scenario.days or tuple((0,) * n for n in scenario.runs)
    day_shift = draws.normal(0, scenario.day_spread or 1e-300, 1 + max(map(max, days)))
    cells = []
    for i, (n, noise) in enumerate(zip(scenario.runs, scenario.noise, strict=True)):
        on = np.array(days[i], dtype=np.int64)
        unknown = np.full(n, np.nan)
        of_sitting = draws.normal(0, scenario.sitting_spread or 1e-300, len(day_shift))
        values = draws.normal(0, noise, n) + day_shift[on] + of_sitting[on]
        cells.append(Cell(f"{i}", values, unknown, unknown, on, unknown))
    return cells
