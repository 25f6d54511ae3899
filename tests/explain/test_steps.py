"""The steps of a mean's interval give its ends again on a pocket calculator."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from trialpress.explain.steps import steps_of
from trialpress.results.cells import Cell
from trialpress.results.levels import SpreadByLevel
from trialpress.results.ranking import Ranking, Rules, rank

DAYS, RUNS = 3, 2
RULES = Rules(
    higher_is_better=True, confidence=0.95, top_n=3, is_share=False, single_runs_open=False
)


def ranking(noisy: float, sitting: float, day: float, days: int = DAYS) -> Ranking:
    """Eight set-ups on the same days; the last scatters ``noisy`` times as much as the others."""
    draw = np.random.default_rng(7)
    shifts, cells = draw.normal(0, day, days), []
    for setup in range(8):
        spread = noisy if setup == 7 else 1.0
        values = [
            60 + setup + shifts[on] + offset + draw.normal(0, spread)
            for on in range(days)
            for offset in [draw.normal(0, sitting)]
            for _ in range(RUNS)
        ]
        count = len(values)
        unknown = np.full(count, np.nan)
        cells.append(Cell(f"s{setup}", np.array(values), u_value=np.zeros(count), u_shared=unknown,
                          days=np.repeat(np.arange(days), RUNS), tries=unknown))  # fmt: skip
    return rank(cells, RULES)


def ranking_by_level() -> Ranking:
    """Twenty set-ups, the better ones with less scatter."""
    draw, cells = np.random.default_rng(7), []
    for number in range(20):
        values, unknown = draw.normal(80 + number, 4 * 0.88**number, 3), np.full(3, np.nan)
        cells.append(Cell(f"s{number}", values, u_value=np.zeros(3), u_shared=unknown,
                          days=np.zeros(3, dtype=np.int64), tries=unknown))  # fmt: skip
    return rank(cells, RULES)


def test_a_spread_that_follows_the_level_can_be_worked_out_from_its_step() -> None:
    ranked = ranking_by_level()
    assert isinstance(ranked.spread, SpreadByLevel)

    for i in (0, 19):
        steps = {step.what: step for step in steps_of(ranked, i, 0.95)}
        spread = steps["spread at its level"]
        plain = spread.formula.split(":")[0].replace("^", "**")
        assert re.fullmatch(r"[0-9.e+*/() -]+", plain)
        at_level = eval(plain)  # noqa: S307  numbers and signs alone, as was just made sure of
        assert at_level == pytest.approx(float(spread.outcome), rel=2e-3)
        assert root_of(steps["spread"].formula) == pytest.approx(
            float(steps["spread"].outcome), rel=2e-3
        )
        assert root_of(steps["standard error in comparisons"].formula) == pytest.approx(
            ranked.means.standard_error[i], rel=2e-3
        )
        if "its own spread" not in steps:
            assert ranked.means.interval_se[i] == pytest.approx(at_level / math.sqrt(3), rel=2e-3)


def root_of(formula: str) -> float:
    """What a formula that begins with "root of" comes to."""
    inside = re.split(r"[:,]", formula.removeprefix("root of "))[0]
    plain = re.sub(r"sittings|days", "", inside).replace("^", "**")
    assert re.fullmatch(r"[0-9.e+*/() -]+", plain)
    return math.sqrt(eval(plain))  # noqa: S307  numbers and signs alone, as was just made sure of


@pytest.mark.parametrize(
    ("noisy", "sitting", "day", "days", "said"),
    [
        (1.0, 0.0, 0.0, 1, ()),
        (1.0, 3.0, 0.0, DAYS, ("sittings",)),
        (1.0, 3.0, 3.0, DAYS, ("sittings", "days")),
        (6.0, 3.0, 3.0, DAYS, ("sittings", "days")),
        (6.0, 0.0, 0.0, 1, ()),
    ],
)
def test_the_interval_follows_from_the_steps(
    noisy: float, sitting: float, day: float, days: int, said: tuple[str, ...]
) -> None:
    ranked = ranking(noisy, sitting, day, days)

    for i in (0, 7):
        steps = {step.what: step for step in steps_of(ranked, i, 0.95)}
        error = root_of(steps["standard error"].formula)
        in_comparisons = root_of(steps["standard error in comparisons"].formula)
        quantile = float(re.search(r"\) (\S+) \*", steps["interval"].formula)[1])  # type: ignore[index]
        mean = float(steps["mean"].outcome)
        low, high = (float(end) for end in steps["interval"].outcome.split(" to "))

        assert error == pytest.approx(float(steps["standard error"].outcome), rel=2e-3)
        assert in_comparisons == pytest.approx(
            float(steps["standard error in comparisons"].outcome), rel=2e-3
        )
        assert (low, high) == pytest.approx(
            (mean - quantile * error, mean + quantile * error), rel=1e-3
        )
        assert all(word in steps["standard error"].formula for word in said)
    if noisy > 1 and days > 1:
        assert "its own spread" in {step.what for step in steps_of(ranked, 7, 0.95)}
